"""The publications that the calculations cite, each once, and how a citation is shown.

A source in a formula, a step or a basis begins with an id (``iso-965-1, Table 1``) or with one of
the words of :data:`OWN_WORDS`. The ids stand in the ``sources*.toml`` files of the packages.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Final

PACKAGES: Final = ("threads", "measurement", "milling", "cutting", "times")
OWN_WORDS: Final = ("derivation", "definition", "common practice", "memory", "tables/")
"""What a source may be besides a publication; a table of ours names its own source."""

_ID: Final = re.compile(r"[a-z0-9]+(?:-[a-z0-9.]+)+")


@cache
def titles() -> Mapping[str, str]:
    """Title of each publication by its id.

    Raises
    ------
    ValueError
        If two files give one id different titles' standards: that is our fault.
    """
    found: dict[str, str] = {}
    for package in PACKAGES:
        folder = files(__package__).joinpath(package)
        for file in sorted(folder.iterdir(), key=lambda each: each.name):
            if file.name.startswith("sources") and file.name.endswith(".toml"):
                document = tomllib.loads(file.read_text(encoding="utf-8"))
                for source in document["source"]:
                    found.setdefault(source["id"], source["title"])
    return MappingProxyType(found)


@lru_cache(maxsize=1024)
def shown(citation: str) -> str:
    """A citation with each id in it written out as the publication's short title.

    Examples
    --------
    >>> shown("iso-965-1, limits of size")
    'ISO 965-1, limits of size'
    >>> shown("derivation")
    'derivation'
    """
    known = titles()

    def written(match: re.Match[str]) -> str:
        title = known.get(match[0])
        return match[0] if title is None else title.split(",")[0]

    return _ID.sub(written, citation)
