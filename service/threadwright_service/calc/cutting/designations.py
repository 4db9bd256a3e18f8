"""From a material's name to the family of groups that it can mean.

Nothing is guessed: a name is a group, a family, a designation of the alias table, or a regular
number of a designation system. Anything else is refused with the nearest covered group named.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from sys import intern
from types import MappingProxyType
from typing import Any, Final

from threadwright_service.calc.errors import AmbiguousError, UnknownDesignationError
from threadwright_service.calc.tables import document_of, load

PACKAGE: Final = "threadwright_service.calc.cutting"

_SYSTEMS: Final = (
    ("AISI", "SAE"),
    ("SAE", "SAE"),
    ("UNS", "UNS"),
    ("EN AW", "AW"),
    ("AW", "AW"),
    ("AA", "AW"),
    ("EN AC", "AC"),
    ("AC", "AC"),
    ("EN", "EN"),
    ("DIN", "EN"),
    ("W.-NR.", "EN"),
    ("W.NR.", "EN"),
    ("WNR", "EN"),
    ("JIS", "JIS"),
    ("ASTM", "ASTM"),
)
"""How a name may begin, longest first where one holds another, and the system it stands for."""

_WORDS: Final = re.compile(
    "STEEL|STAINLESS|TOOL|ALLOY|ALUMINIUM|ALUMINUM|TITANIUM|BRASS|BRONZE|COPPER|NICKEL|IRON|CAST"
    "|GRADE|TYPE|BAR|ANNEALED|HARDENED|TEMPERED|GREY|GRAY|DUCTILE|NODULAR|FREE-MACHINING|LEADED"
)
"""Words that may stand beside a designation and add nothing to it."""

_AGEING: Final = re.compile(r"H(9\d\d|1\d{3})")
"""The ageing condition of a precipitation-hardening steel: it does not fix the hardness."""

_TREATMENT: Final = re.compile(r"\s*\+\s*[A-Z]{1,3}\d*")
"""The delivery condition after an EN designation, as +QT or +C: it does not fix the hardness."""

_JOINED: Final = ("AISI", "SAE", "UNS", "DIN", "W.-NR.", "W.NR.", "WNR")
"""Systems whose name may stand before the number without a blank."""

LOW_CARBON_PERCENT: Final = 0.25
MEDIUM_CARBON_PERCENT: Final = 0.55


@dataclass(frozen=True, slots=True, kw_only=True)
class Designation:
    """What a name stands for."""

    family: str
    groups: tuple[str, ...]
    """Keys of the groups that it can mean, in order of hardness."""
    typical_hb: float | None
    """Hardness of the usual delivery where the designation fixes it closely [HB]."""
    source: str

    @property
    def hardness_word(self) -> str:
        """What the hardness conversion calls this family; it knows which tables are for it."""
        words: Mapping[str, str] = _document()["hardness_words"]
        return words.get(self.family) or next(
            word for key, word in words.items() if self.family.startswith(key)
        )


def resolve(name: str) -> Designation:
    """What a material's name stands for.

    Parameters
    ----------
    name : str
        A group, a family, a letter of ISO 513 or a designation; case, blanks and hyphens do not
        matter, and a system's name (``AISI``, ``UNS``, ``EN`` …) may stand before it.

    Raises
    ------
    AmbiguousError
        If it fits several families, or means different metals in two systems.
    UnknownDesignationError
        If it is not known or not covered; the nearest covered group is named.

    Notes
    -----
    Source: tables/aliases.toml and tables/families.toml.

    Examples
    --------
    >>> resolve("AISI 4140").family, resolve("1.4542").family, resolve("UNS A96061").typical_hb
    ('alloy-steel', 'precipitation-hardening-stainless', 95.0)
    """
    text = " ".join(_TREATMENT.sub("", name.upper()).split())
    system, rest = _system(text)
    found = _family_or_group(_plain(text))
    if found is None:
        _refuse_ambiguous(_plain(text), name)
        found = _designation(_plain(text)) or _in_system(system, rest, name)
    if found is not None:
        return found
    _refuse_not_covered(text, name)
    bare = " ".join(
        word for word in rest.split() if not (_WORDS.fullmatch(word) or _AGEING.fullmatch(word))
    )
    if bare and bare != rest:
        found = _designation(_plain(bare)) or _in_system(system, bare, name)
    if found is None:
        raise _unknown(name)
    return found


def other_meaning(name: str) -> str | None:
    """What else a name stands for elsewhere, in a sentence; ``None``: nothing else."""
    meanings: Mapping[str, str] = _document()["also_means"]
    return meanings.get(_plain(name))


def aliases_of(group: str) -> tuple[str, ...]:
    """The designations that can lead to a group, as the table writes them."""
    families = _document()["families"]
    return tuple(
        designation
        for row in load(PACKAGE, "tables/aliases")
        if group in families[row["family"]]
        for designation in _written(row)
    )


def _written(row: Mapping[str, Any]) -> Iterator[str]:
    """The designations of a row; each text is one object, whichever groups it leads to."""
    return map(intern, str(row["designations"]).split())


def _system(text: str) -> tuple[str, str]:
    for prefix, system in _SYSTEMS:
        rest = text.removeprefix(prefix)
        if rest == text:
            continue
        if rest[:1] in (" ", "-", ":") or (prefix in _JOINED and re.match(r"[A-Z]?\d", rest)):
            return system, rest.lstrip(" -:")
    return "", text


def _in_system(system: str, rest: str, name: str) -> Designation | None:
    """A designation after its system's name was taken off, with the clashes between systems."""
    plain = _plain(rest)
    clash = _document()["two_systems"].get(plain)
    if clash and not system:
        raise AmbiguousError(
            f"{name} is one metal in one system and another in another",
            parameter="material",
            value=name,
            accepted=" or ".join(clash),
        )
    if system in ("AW", "AC"):
        return _designation(f"{system}{plain}") or _by_rule(f"{system}{plain}")
    if clash and system == "SAE":
        return _by_rule(plain)
    return _designation(plain) or _by_rule(plain)


def _family_or_group(plain: str) -> Designation | None:
    families: Mapping[str, list[str]] = _document()["families"]
    for key, groups in families.items():
        if _plain(key) == plain:
            return Designation(
                family=key, groups=tuple(groups), typical_hb=None, source="name of a family"
            )
    if plain == "H":
        return _family_or_group(_plain("hardened-steel"))
    for word, family in _document()["synonyms"].items():
        if _plain(word) == plain:
            return _family_or_group(_plain(family))
    for row in load(PACKAGE, "tables/groups"):
        key = str(row["group"])
        if plain in (_plain(key), _plain(str(row["name"]))):
            return Designation(family=key, groups=(key,), typical_hb=None, source="name of a group")
    return None


def _refuse_ambiguous(plain: str, name: str) -> None:
    for word, families in _document()["ambiguous"].items():
        if _plain(word) == plain:
            raise AmbiguousError(
                f"{name} fits several groups whose data differ",
                parameter="material",
                value=name,
                accepted=", ".join(families),
            )


def _designation(plain: str) -> Designation | None:
    return _by_designation().get(plain)


@cache
def _by_designation() -> Mapping[str, Designation]:
    table = load(PACKAGE, "tables/aliases")
    found: dict[str, Designation] = {}
    for row in table:
        family = str(row["family"])
        meant = Designation(
            family=family,
            groups=tuple(_document()["families"][family]),
            typical_hb=float(row["typical_hb"]) or None,
            source="tables/aliases.toml",
        )
        found |= {intern(_plain(each)): meant for each in _written(row)}
    return MappingProxyType(found)


def _by_rule(plain: str) -> Designation | None:
    # The UNS number of an SAE steel is G, its four digits and a 0; H- and B-steels end in 1 or 6.
    uns = re.fullmatch(r"G(\d{4})[0-9]", plain)
    if uns:
        plain = uns[1]
    for rule in document_of(PACKAGE, "tables/aliases")["rules"]:
        match = re.fullmatch(rule["pattern"], plain)
        if match:
            family = rule["family"]
            if family == "by-carbon":
                family = _by_carbon(int(match[1]) / 100)
            return Designation(
                family=family,
                groups=tuple(_document()["families"][family]),
                typical_hb=None,
                source=rule["source"],
            )
    return None


def _by_carbon(carbon_percent: float) -> str:
    if carbon_percent <= LOW_CARBON_PERCENT:
        return "low-carbon-steel"
    return "medium-carbon-steel" if carbon_percent <= MEDIUM_CARBON_PERCENT else "high-carbon-steel"


def _refuse_not_covered(text: str, name: str) -> None:
    plain = _plain(text)
    for word, nearest in _document()["not_covered"].items():
        known = _plain(word)
        # A short designation must be the whole name; a word may stand within a longer one.
        if plain == known or (len(known) > 4 and known in plain):
            raise UnknownDesignationError(
                f"{name} is not covered by the tables; the nearest covered group is {nearest}, "
                "whose data do not hold for it",
                parameter="material",
                value=name,
                accepted="a covered group or grade; see the list of materials",
            )


def _unknown(name: str) -> UnknownDesignationError:
    near = _nearest(name)
    told = (
        f"the nearest name that is covered is {near}, which need not be the nearest metal"
        if near
        else "no covered group or grade has a name like it"
    )
    return UnknownDesignationError(
        f"{name} is not a material that the tables know; {told}",
        parameter="material",
        value=name,
        accepted=near
        or f"a grade, as 42CrMo4 or D2, or one of {', '.join(_document()['families'])}",
    )


def _nearest(name: str) -> str:
    shown = _all_names()
    number = re.fullmatch(r"(\d\.\d)\d{3}", _plain(name))
    if number:
        return str(_document()["number_classes"].get(number[1], ""))
    for word in _plain_words(name):
        known = _designation(word)
        if known is not None and re.search(r"\d{3}", word):
            return f"{shown[word]} ({known.family})"
    close = get_close_matches(_plain(name), shown, n=1, cutoff=0.6)
    if not close:
        return ""
    found = shown[close[0]]
    designation = _designation(close[0])
    return f"{found} ({designation.family})" if designation else found


def _plain_words(name: str) -> list[str]:
    return [_plain(word) for word in name.split()]


@cache
def _all_names() -> Mapping[str, str]:
    """Every name that can be written, spelt as the tables spell it, by its plain form."""
    names: Iterable[str] = (
        *_document()["families"],
        *(str(row["group"]) for row in load(PACKAGE, "tables/groups")),
        *(designation for row in load(PACKAGE, "tables/aliases") for designation in _written(row)),
    )
    return MappingProxyType({intern(_plain(name)): name for name in names})


def _plain(text: str) -> str:
    """Upper case without blanks, hyphens and underscores; dots stay, they are part of numbers."""
    return re.sub(r"[\s\-_/]+", "", text.upper())


def _document() -> Mapping[str, Any]:
    return document_of(PACKAGE, "tables/families")
