"""Published tables: one TOML file a table, with its source, found by exact key.

A file holds ``[source]`` (``standard``, ``locator``, ``authority``, ``basis``) and ``[table]``
(``key``, ``columns``, ``rows``). Digits stand as printed. Nothing is interpolated here.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from sys import intern
from types import MappingProxyType
from typing import Any

from threadwright_service.calc.errors import NotTabulatedError

Cell = str | int | float | bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One published table, frozen."""

    standard: str
    locator: str
    basis: str
    key: tuple[str, ...]
    columns: tuple[str, ...]
    rows: Mapping[tuple[Cell, ...], Mapping[str, Cell]]

    def row(self, **key: Cell) -> Mapping[str, Cell]:
        """The row with exactly this key.

        Raises
        ------
        NotTabulatedError
            If the table has no such row.
        """
        try:
            return self.rows[tuple(key[name] for name in self.key)]
        except KeyError:
            asked = ", ".join(f"{name} = {value}" for name, value in key.items())
            raise NotTabulatedError(f"{self.standard}, {self.locator}: no row {asked}") from None

    def __iter__(self) -> Iterator[Mapping[str, Cell]]:
        """The rows in printed order."""
        return iter(self.rows.values())


@cache
def load(package: str, name: str) -> Table:
    """Read a table that lies beside the modules of a package.

    Parameters
    ----------
    package : str
        Import name of the folder that holds the file.
    name : str
        File name without ``.toml``.

    Raises
    ------
    ValueError
        If the file is not a well-formed table: that is our fault, not a caller's.
    """
    document = _read(package, name)
    source, table = document["source"], document["table"]
    columns, key = tuple(table["columns"]), tuple(table["key"])
    rows: dict[tuple[Cell, ...], Mapping[str, Cell]] = {}
    for cells in table["rows"]:
        if len(cells) != len(columns):
            raise ValueError(f"{package}/{name}: {cells} has not {len(columns)} cells")
        shared = (intern(cell) if type(cell) is str else cell for cell in cells)
        row = dict(zip(columns, shared, strict=True))
        index = tuple(row[part] for part in key)
        if index in rows:
            raise ValueError(f"{package}/{name}: two rows {index}")
        rows[index] = MappingProxyType(row)
    return Table(
        standard=source["standard"],
        locator=source["locator"],
        basis=source["basis"],
        key=key,
        columns=columns,
        rows=MappingProxyType(rows),
    )


@cache
def document_of(package: str, name: str) -> Mapping[str, Any]:
    """The whole TOML document, for data that is not one rectangular table."""
    return MappingProxyType(_read(package, name))


def _read(package: str, name: str) -> dict[str, Any]:
    """The document, not kept: that of a table is not needed beside its rows."""
    text = files(package).joinpath(f"{name}.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)
