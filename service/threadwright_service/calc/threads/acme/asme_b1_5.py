"""Acme screw threads, ASME B1.5: general purpose 2G, 3G, 4G and centralizing 2C, 3C, 4C [in].

The call-out is the same for screw and nut: the screw is computed unless the side is said, and
the mating member's limits stand beside it.

Keys of the result beside the limits: ``reference.thread_height``, ``thread_thickness``,
``crest_flat``, ``external_minor_allowance``, ``internal_major_allowance``,
``internal_minor_allowance``, ``internal_minor_tolerance``, ``external_major_tolerance``,
``internal_major_tolerance``, ``pitch_diameter_tolerance`` and ``mating_major_diameter_max`` …
``mating_minor_diameter_min``. ``allowances`` has those of this member's other diameters.
"""

from __future__ import annotations

from typing import Final

from threadwright_service.calc.rounding import half_down, half_even
from threadwright_service.calc.threads.acme import acme_call_out, acme_limits
from threadwright_service.calc.threads.acme.acme_limits import PLACES, above, below
from threadwright_service.calc.threads.call_out import CallOut
from threadwright_service.calc.threads.record import record
from threadwright_service.calc.threads.registry import Family, Fields, StandardSize
from threadwright_service.calc.threads.rounding_rule import only_rule
from threadwright_service.calc.threads.side_words import side_of
from threadwright_service.calc.threads.thread import (
    DiameterLimits,
    Diameters,
    Side,
    ThreadLimits,
)
from threadwright_service.calc.trail import Formula, Trail

KEY: Final = "acme"
ROUNDING_RULE: Final = (
    "basic dimensions, allowances and tolerances to 0.0001 in (ties to even; of the centralizing "
    "crest allowances and tolerances, down), then exact sums; external minor minimum rounded once"
)
_HEIGHT_RATIO: Final = 0.5

_PITCH_DIAMETER: Final = Formula(
    "basic pitch diameter", "E", "D - P / 2", "D P", unit="in", source="asme-b1-5"
)
_MINOR: Final = Formula("basic minor diameter", "K", "D - P", "D P", unit="in", source="asme-b1-5")
_CREST_FLAT: Final = Formula(
    "width of the crest flat", "F", "0.3707 * P", "P", unit="in", source="asme-b1-5"
)
_ROOT_D: Final = Formula(
    "centralizing tolerance or allowance of the major diameter",
    "T",
    "k * sqrt(D)",
    "k D",
    unit="in",
    source="asme-b1-5, as machinerys-handbook-27, p. 1842 Table 12",
)
_MINOR_ALLOWANCE: Final = Formula(
    "centralizing allowance of the internal minor diameter",
    "G1",
    "0.1 * P",
    "P",
    unit="in",
    source="asme-b1-5, as machinerys-handbook-27, p. 1842 Table 12",
)
_MAJOR_ALLOWANCE_FACTOR: Final = 0.0010


class _Pair:
    """Both members of one Acme thread, from the same basic dimensions."""

    def __init__(self, call_out: CallOut, trail: Trail | None) -> None:
        d, p = call_out.nominal_diameter, call_out.pitch
        name = call_out.tolerance_class
        self.major = half_even(d, PLACES)
        self.pitch = _PITCH_DIAMETER.rounded(trail, d, p, to=half_even, places=PLACES)
        self.minor = _MINOR.rounded(trail, d, p, to=half_even, places=PLACES)
        acme_limits.checked_core(call_out, basic_minor_in=self.minor)
        self.clearance = acme_limits.clearance_in(call_out.threads_per_inch or 1 / p)
        self.allowance = acme_limits.allowance_in(
            nominal_diameter_in=d, tolerance_class=name, trail=trail
        )
        self.exact_tolerance = acme_limits.pitch_tolerance_in(
            nominal_diameter_in=d, pitch_in=p, tolerance_class=name, trail=trail
        )
        self.tolerance = half_even(self.exact_tolerance, PLACES)
        self._crests(call_out, trail)
        self.trail = trail

    def _crests(self, call_out: CallOut, trail: Trail | None) -> None:
        """Allowances and tolerances of major and minor diameter, by general or centralizing."""
        d, p = call_out.nominal_diameter, call_out.pitch
        row = acme_limits.classes()[call_out.tolerance_class]
        if call_out.tolerance_class.endswith("G"):
            crest = acme_limits.CREST_TOLERANCE.rounded(trail, p, to=half_even, places=PLACES)
            self.external_major_tolerance = self.internal_minor_tolerance = crest
            self.internal_major_allowance = self.internal_major_tolerance = self.clearance
            self.internal_minor_allowance = 0.0
            return
        self.internal_minor_tolerance = acme_limits.CREST_TOLERANCE.rounded(
            trail, p, to=half_down, places=PLACES
        )
        self.internal_minor_allowance = _MINOR_ALLOWANCE.rounded(
            trail, p, to=half_down, places=PLACES
        )
        self.internal_major_allowance, self.external_major_tolerance = (
            _ROOT_D.rounded(trail, factor, d, to=half_down, places=PLACES)
            for factor in (_MAJOR_ALLOWANCE_FACTOR, row.external_major)
        )
        self.internal_major_tolerance = _ROOT_D.rounded(
            trail, row.internal_major, d, to=half_down, places=PLACES
        )

    def crest_allowances(self, side: Side) -> dict[str, float]:
        """Allowances of this member's major and minor diameter."""
        if side == "external":
            return {"major_diameter": 0.0, "minor_diameter": self.clearance}
        return {
            "major_diameter": self.internal_major_allowance,
            "minor_diameter": self.internal_minor_allowance,
        }

    def reference(self, pitch: float) -> dict[str, float]:
        """Sizes of the form, and the amounts from which the limits were made."""
        return {
            "thread_height": pitch / 2,
            "thread_thickness": pitch / 2,
            "crest_flat": _CREST_FLAT.rounded(self.trail, pitch, to=half_even, places=PLACES),
            "pitch_diameter_tolerance": self.tolerance,
            "external_minor_allowance": self.clearance,
            "external_major_tolerance": self.external_major_tolerance,
            "internal_major_allowance": self.internal_major_allowance,
            "internal_major_tolerance": self.internal_major_tolerance,
            "internal_minor_allowance": self.internal_minor_allowance,
            "internal_minor_tolerance": self.internal_minor_tolerance,
        }

    def external(self) -> DiameterLimits:
        """Limits of the screw."""
        return DiameterLimits(
            major_diameter=below(self.major, self.external_major_tolerance),
            pitch_diameter=below(self.pitch - self.allowance, self.tolerance),
            minor_diameter=acme_limits.external_minor(
                self.minor, self.clearance, self.exact_tolerance, self.trail
            ),
        )

    def internal(self) -> DiameterLimits:
        """Limits of the nut."""
        return DiameterLimits(
            major_diameter=above(
                self.major + self.internal_major_allowance, self.internal_major_tolerance
            ),
            pitch_diameter=above(self.pitch, self.tolerance),
            minor_diameter=above(
                self.minor + self.internal_minor_allowance, self.internal_minor_tolerance
            ),
        )


def limits(
    call_out: CallOut,
    *,
    rounding: str | None = None,
    trail: Trail | None = None,
    side: Side | None = None,
) -> ThreadLimits:
    """Limits of size of one Acme thread [in].

    Raises
    ------
    OutOfRangeError
        If the size is above 5 1/2 in, where the allowances end.
    InfeasibleError
        If the pitch leaves no core.
    AmbiguousError
        If the call-out says one side and ``side`` the other.

    Notes
    -----
    Source: asme-b1-5. 174 of 174 published general-purpose values and 63 of 63 centralizing
    ones are reproduced.

    Examples
    --------
    5/8-8 ACME-2G, an acme screw maker's dimension page: pitch diameter 0.5562 to 0.5408.

    >>> thread = limits(parse("5/8-8 ACME-2G"))
    >>> thread.limits.pitch_diameter
    Span(max=0.5562, min=0.5408)
    """
    only_rule(rounding)
    side = side_of(call_out, side, trail, reason=acme_call_out.OPEN_SIDE)
    pair = _Pair(call_out, trail)
    external, internal = pair.external(), pair.internal()
    found, mating = (external, internal) if side == "external" else (internal, external)
    p = call_out.pitch
    return record(
        call_out,
        designation=acme_call_out.designation(call_out, call_out.tolerance_class),
        standard="ASME B1.5-1997",
        unit="in",
        side=side,
        form=acme_limits.acme_form(
            name="Acme, 29°",
            height_ratio=_HEIGHT_RATIO,
            clearance_in=pair.clearance,
            pitch_in=p,
        ),
        basic=Diameters(
            major_diameter=pair.major,
            pitch_diameter=pair.pitch,
            minor_diameter=pair.minor,
        ),
        allowance=pair.allowance if side == "external" else 0.0,
        allowances=pair.crest_allowances(side),
        limits=found,
        reference=acme_limits.with_mating_limits(
            pair.reference(p),
            mating,
        ),
        stress_area=acme_limits.stress_area_in2(found, side, trail),
        rounding_rule=ROUNDING_RULE,
        basis=_basis(call_out, trail),
    )


def _basis(call_out: CallOut, trail: Trail | None) -> str:
    """What these limits rest on."""
    general = call_out.tolerance_class.endswith("G")
    return (
        (
            "formulas that reproduce 174 of 174 published values"
            if general
            else "allowances and crest tolerances published (63 of 63 values); pitch tolerance "
            "equal to that of the general-purpose class: memory"
        )
        + "; stress area: the handbook's definition for 3G, within 0.00015 in2 of its column"
        + acme_limits.cautions(call_out, standard="ASME B1.5", trail=trail)
    )


def parse(
    text: str, tolerance_class: str | None = None, *, trail: Trail | None = None
) -> CallOut | None:
    """Read a tidied call-out; ``None`` if it is no Acme thread."""
    del trail
    return acme_call_out.parse(text, tolerance_class, family=KEY, stub=False)


def read(fields: Fields, *, trail: Trail | None = None) -> CallOut:
    """Make the call-out from fields, lengths in inch."""
    del trail
    return acme_call_out.read(fields, family=KEY, stub=False)


def sizes() -> tuple[StandardSize, ...]:
    """The standard series of Acme threads."""
    return acme_call_out.sizes(acme_call_out.ACME)


FAMILY: Final = Family(
    key=KEY,
    title="Acme screw threads, general purpose and centralizing",
    standard="ASME B1.5-1997",
    unit="in",
    symbols=(acme_call_out.ACME,),
    classes=acme_call_out.CLASSES,
    parse=parse,
    read=read,
    limits=limits,
    sizes=sizes,
    options=("side",),
)
