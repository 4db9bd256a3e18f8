"""Rows of a pandas table in, columns of answers out. Needs the ``pandas`` extra."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from importlib import import_module
from itertools import chain
from typing import TYPE_CHECKING, Any

from threadwright.errors import InvalidInputError, MissingExtraError
from threadwright.operations import OPERATIONS
from threadwright.paths import leaves, value_at
from threadwright.results.answer import Result
from threadwright.transport import Timeout

if TYPE_CHECKING:
    from threadwright.client import Client

ERROR = "error"


def with_answers(
    client: Client,
    operation: str,
    table: Any,
    *,
    keep: Sequence[str] | None,
    columns: Mapping[str, str] | None,
    progress: bool,
    timeout: Timeout,
    shared: Mapping[str, Any],
) -> Any:
    """The table with the answers beside each row; see :meth:`Client.frame`."""
    try:
        pandas = import_module("pandas")
    except ModuleNotFoundError as error:
        raise MissingExtraError(
            f"tables need pandas ({error}): pip install 'threadwright[pandas]'"
        ) from error
    if not isinstance(table, pandas.DataFrame):
        raise TypeError(
            f"frame takes an operation and then a DataFrame; {type(table).__name__} is none"
        )
    sent = _sent_columns(operation, table, columns)
    rows = [
        {key: value for key, value in zip(sent.values(), cells, strict=True) if _is_filled(value)}
        for cells in zip(*(table[column].tolist() for column in sent), strict=True)
    ]
    answers = client.batch(rows, operation=operation, progress=progress, timeout=timeout, **shared)
    added = _added(answers, keep, tuple(table.columns))
    added[ERROR] = [
        answer.told() if isinstance(answer, InvalidInputError) else None for answer in answers
    ]
    return pandas.concat([table, pandas.DataFrame(added, index=table.index)], axis=1)


def _sent_columns(
    operation: str, table: Any, columns: Mapping[str, str] | None
) -> Mapping[str, str]:
    """Key for each column that is sent."""
    if ERROR in table.columns:
        raise ValueError(f"the table has a column {ERROR!r} already; rename it")
    if columns is not None:
        missing = [column for column in columns if column not in table.columns]
        if missing:
            raise ValueError(f"the table has no column {', '.join(map(repr, missing))}")
        return columns
    known = OPERATIONS.get(operation)
    keys = [] if known is None else list(known.keys_type().__annotations__)
    sent = {column: column for column in table.columns if column in keys}
    if not sent:
        raise ValueError(
            f"no column of the table is a key of {operation}; name the columns so, or say which "
            f"is which by columns={{column: key}}. Keys are {', '.join(keys)}"
        )
    return sent


def _is_filled(value: Any) -> bool:
    """Whether a cell holds something: not None, NaN, NaT or NA."""
    if value is None or type(value).__name__ in ("NAType", "NaTType"):
        return False
    return not (isinstance(value, float) and value != value)


def _added(
    answers: Sequence[Result | InvalidInputError],
    keep: Sequence[str] | None,
    existing: tuple[Any, ...],
) -> dict[str, list[Any]]:
    """The new columns, each as long as the table."""
    results = [answer if isinstance(answer, Result) else None for answer in answers]
    if keep is None:
        told = [dict(leaves(result)) if result is not None else {} for result in results]
        columns = {path: [row.get(path) for row in told] for path in dict.fromkeys(chain(*told))}
    else:
        try:
            columns = {
                path: [value_at(result, path) if result is not None else None for result in results]
                for path in keep
            }
        except LookupError as error:
            raise ValueError(error.args[0]) from None
    return {
        f"result.{path}" if path in existing or path == ERROR else path: column
        for path, column in columns.items()
    }
