"""How a thread is asked for, in every operation that takes one; and the answer of its limits."""

from __future__ import annotations

from typing import get_args

from threadwright_service.calc.measurement.treatments.coating import BeforeCoating, CoatedFit
from threadwright_service.calc.measurement.treatments.functional_size import FunctionalSize
from threadwright_service.calc.measurement.treatments.heat_treatment import BeforeHeatTreatment
from threadwright_service.calc.threads.thread import State
from threadwright_service.schemas.base import RequestSchema, ResponseSchema
from threadwright_service.schemas.compound_fields import Record
from threadwright_service.schemas.fields import Choice, Count, Number, Size, Text
from threadwright_service.schemas.quantities import ANGLE, AREA, LENGTH, RATIO
from threadwright_service.schemas.results import ResultOf
from threadwright_service.schemas.wire_field import WireField


class ThreadRequestSchema(RequestSchema):
    """A thread, as a call-out or as fields.

    ``nominal_diameter`` and ``pitch`` belong to the call-out: without ``unit`` they are in the
    standard's own unit.
    """

    designation = Text(
        "The thread's call-out, as it stands on the drawing.",
        examples=("3/4-16 UNF-2A", "M24x1.5-6g LH"),
    )
    series = Text(
        "Series symbol, where the thread is given as fields.",
        longest=20,
        examples=("UNF", "M", "Tr"),
    )
    nominal_diameter = Size("Nominal diameter, a number or a size as it is written.")
    pitch = Number("Pitch, where no call-out says it.", above=0, most=1000)
    threads_per_inch = Number("Threads per inch, in place of the pitch.", above=0, most=1000)
    tolerance_class = Text(
        "Tolerance class, where the call-out holds none.", longest=12, examples=("2A", "6g")
    )
    side = Choice(
        "Outside or inside thread, where the class does not say.",
        ("external", "internal"),
        also={"outside": "external", "inside": "internal"},
    )
    hand = Choice(
        "Hand of the thread.",
        ("right", "left"),
        also={"RH": "right", "LH": "left", "rh": "right", "lh": "left"},
    )
    starts = Count("Number of starts.", least=1, most=20)
    length_of_engagement = Number(
        "Length of engagement with the mating thread.", kind=LENGTH, above=0, most=3000
    )
    distance_from_gauge_plane = Number(
        "Of a taper thread: where the diameters are wanted, measured from the gauge plane "
        "towards the large end.",
        kind=LENGTH,
        least=-3000,
        most=3000,
    )
    rounding = Choice(
        "Rounding rule of Unified limits: that of the published tables, the step-by-step "
        "calculation of ASME B1.30, or the exact result rounded once.",
        ("table", "b130", "exact"),
    )


class TreatmentKeys:
    """The keys that say what is done to a thread after it is cut; a mix-in of requests.

    The standard's limits then hold for the part that is coated or hardened.
    """

    coating_thickness = Number(
        "Largest thickness of a coating on one surface; the limits then hold after coating.",
        kind=LENGTH,
        least=0,
        most=1,
    )
    coating_thickness_min = Number(
        "Smallest thickness of the coating.", kind=LENGTH, least=0, most=1
    )
    growth_min = Number(
        "Smallest growth by heat treatment, as a share of size; negative is shrinkage.",
        kind=RATIO,
        least=-0.02,
        most=0.02,
    )
    growth_max = Number(
        "Largest growth by heat treatment, as a share of size.",
        kind=RATIO,
        least=-0.02,
        most=0.02,
    )


class ThreadLimitsRequest(TreatmentKeys, ThreadRequestSchema):
    """A thread whose limits are wanted, and what happens to it after cutting."""

    coated_length = Number(
        "Length of the coated part, for the guidance of ISO 4042.",
        kind=LENGTH,
        above=0,
        most=3000,
    )
    measured_pitch_diameter = Number(
        "Measured pitch diameter of a part whose functional size is wanted.",
        kind=LENGTH,
        above=0,
        most=3000,
    )
    pitch_error = Number(
        "Its largest accumulated pitch error within the engagement.", kind=LENGTH, least=0, most=1
    )
    flank_angle_error_deg = Number(
        "Error of its half angle, both flanks if only this is given.",
        kind=ANGLE,
        least=-10,
        most=10,
    )
    clearance_flank_angle_error_deg = Number(
        "Error of its other half angle.", kind=ANGLE, least=-10, most=10
    )


def span(what: str) -> Record:
    """Largest and smallest size; null where the standard sets none."""
    return Record(
        what,
        {
            "max": Number(
                "Largest permitted; null where the standard sets none.",
                kind=LENGTH,
                required=True,
                nullable=True,
            ),
            "min": Number(
                "Smallest permitted; null where the standard sets none.",
                kind=LENGTH,
                required=True,
                nullable=True,
            ),
        },
        required=True,
    )


def diameters(what: str) -> Record:
    """The three basic diameters."""
    return Record(
        what,
        {
            name: Number(f"Basic {name.replace('_', ' ')}.", kind=LENGTH, required=True)
            for name in ("major_diameter", "pitch_diameter", "minor_diameter")
        },
        required=True,
    )


class LengthsByName(WireField):
    """Lengths under names that depend on the standard."""

    def json_schema(self) -> dict[str, object]:
        """An object of numbers."""
        return {
            "type": "object",
            "additionalProperties": {"type": "number", "x-unit": {"mm": "mm", "in": "in"}},
        }


class ThreadLimitsResponse(ResponseSchema):
    """Basic dimensions and limits of size of one thread."""

    designation = Text("The call-out, normalised.", required=True)
    family = Text("Family of threads.", required=True)
    standard = Text("The standard that the limits follow.", required=True)
    series = Text("Series symbol.", required=True)
    side = Choice("Outside or inside thread.", ("external", "internal"), required=True)
    hand = Choice("Hand of the thread.", ("right", "left"), required=True)
    starts = Count("Number of starts.", least=1, most=20, required=True)
    tolerance_class = Text("Tolerance class; empty where the call-out has none.", required=True)
    form = Text("The thread's profile in words.", required=True)
    flank_angle_deg = Number(
        "Angle of the pressure flank from the normal to the axis.", kind=ANGLE, required=True
    )
    clearance_flank_angle_deg = Number(
        "Angle of the other flank; the same on a symmetric form.", kind=ANGLE, required=True
    )
    taper = Number("Taper on the diameter; 0 on a parallel thread.", kind=RATIO, required=True)
    nominal_diameter = Number(
        "Diameter that the size in the call-out stands for.", kind=LENGTH, required=True
    )
    pitch = Number("From one thread to the next, along the axis.", kind=LENGTH, required=True)
    lead = Number("Lead: pitch times starts.", kind=LENGTH, required=True)
    threads_per_inch = Number(
        "Number of threads in an inch of length; null for a thread named by its pitch.",
        required=True,
        nullable=True,
    )
    lead_angle_deg = Number("Lead angle at the basic pitch diameter.", kind=ANGLE, required=True)
    length_of_engagement = Number(
        "Length of engagement behind the tolerances; null where there is none.",
        kind=LENGTH,
        required=True,
        nullable=True,
    )
    length_of_engagement_group = Text(
        "Group of ISO 965-1; null where there is none.", required=True, nullable=True
    )
    basic = diameters("Basic dimensions.")
    allowance = Number(
        "Distance of the pitch diameter's nearer limit from the basic one, never negative.",
        kind=LENGTH,
        least=0,
        required=True,
    )
    allowances = LengthsByName("Allowances of the other diameters, where they differ.")
    limits = Record(
        "Limits of size.",
        {
            "major_diameter": span("Limits of the major diameter."),
            "pitch_diameter": span("Limits of the pitch diameter."),
            "minor_diameter": span("Limits of the minor diameter."),
        },
        required=True,
    )
    reference = LengthsByName("Sizes that are printed but are no limits.")
    root_radius = span("Limits of the root radius.")
    stress_area = Number(
        "Tensile stress area; null where none is told.",
        kind=AREA,
        required=True,
        nullable=True,
    )
    rounding_rule = Text("Rule by which the limits were rounded.", longest=400, required=True)
    basis = Text("What the numbers rest on.", longest=1000, required=True)
    state = Choice(
        "Of which part the limits are: the finished one, or the one that is still to be coated or "
        "hardened.",
        get_args(State),
        required=True,
    )
    before_coating = ResultOf("Limits before coating.", BeforeCoating, optional=True)
    coated_fit = ResultOf("Whether the coating fits the allowance.", CoatedFit, optional=True)
    before_heat_treatment = ResultOf(
        "Limits before heat treatment.", BeforeHeatTreatment, optional=True
    )
    functional_size = ResultOf("Functional size of the part.", FunctionalSize, optional=True)
