"""What cycle times take: the operations of a part, the machine's motion and the terms of a lot."""

from __future__ import annotations

import copy

from threadwright_service.schemas.compound_fields import Items, Record
from threadwright_service.schemas.cutting import COOLANTS
from threadwright_service.schemas.fields import Choice, Count, Flag, Number, Text
from threadwright_service.schemas.milling import (
    CutterKeys,
    PlanKeys,
)
from threadwright_service.schemas.quantities import (
    FEED_RATE,
    LENGTH,
    RATIO,
    SPINDLE_SPEED,
    TIME,
    TIME_MINUTES,
)
from threadwright_service.schemas.shared_keys import MachineKeys, MaterialKeys
from threadwright_service.schemas.threads import ThreadRequestSchema, TreatmentKeys
from threadwright_service.schemas.wire_field import WireField

_MOST_MM = 3000.0
_LONGEST_PATH_MM = 1e7


def _length(description: str) -> Number:
    return Number(description, kind=LENGTH, above=0, most=_MOST_MM)


def _feed(description: str) -> Number:
    return Number(description, kind=FEED_RATE, above=0, most=1_000_000)


def _seconds(description: str) -> Number:
    return Number(description, kind=TIME, least=0, most=1_000_000)


def _minutes(description: str) -> Number:
    return Number(description, kind=TIME_MINUTES, least=0, most=100_000)


def _money(description: str) -> Number:
    return Number(description, least=0, most=1e9)


def _share(description: str) -> Number:
    return Number(description, least=0, below=1)


def unassumed(field: WireField) -> WireField:
    """The same key where it need not be given and nothing is assumed in its place."""
    twin = copy.copy(field)
    twin.required = False
    twin.assume = None
    twin.reason = ""
    return twin


class PartKeys:
    """What is done on a part besides its thread; a group is given whole or not at all; a mix-in."""

    drill_diameter = _length("Hole: diameter of the drill.")
    drill_depth = _length("Hole: depth at full diameter.")
    drill_feed = _feed("Hole: feed of the drill.")
    drill_peck_depth = _length("Hole: depth of a peck.")
    step_start_diameter = _length("Step, or bore inside: diameter before.")
    step_diameter = _length("Step or bore: diameter after.")
    step_length = _length("Step or bore: length.")
    step_cutter_diameter = _length("Step or bore: cutter diameter.")
    step_radial_depth = _length("Step or bore: radial depth of a cut.")
    step_axial_depth = _length("Step or bore: axial depth of a cut.")
    step_feed = _feed("Step or bore: feed of the cutter's centre.")
    chamfer_diameter = _length("Chamfer: diameter of the edge.")
    chamfer_cutter_diameter = _length("Chamfer: diameter of the cutter where it touches.")
    chamfer_feed = _feed("Chamfer: feed of the cutter's centre.")
    probing_points = Count("Points probed on each part.", least=0, most=1000)
    probing_time_per_point_s = _seconds("Time of a probed point.")
    other_time_s = _seconds("Anything else at the machine, on each part.")
    deburr_time_s = _seconds("Deburring by hand.")
    deburr_beside = Flag("Whether deburring is done while the machine runs.")


class MotionKeys:
    """How the machine moves, beside the keys of the machine; a mix-in."""

    centripetal_g = Number(
        "Acceleration towards the centre of a circle, in g; acceleration_g if not given.",
        above=0,
        most=20,
    )
    braking_g = Number("Slowing down, in g; acceleration_g if not given.", above=0, most=20)
    block_rate_per_s = Number(
        "Program blocks that the control reads in a second.", above=0, most=100_000
    )
    look_ahead_blocks = Count("Blocks that the control looks ahead; 0 stops at each.", most=10_000)


class LotKeys:
    """The terms of a lot; a mix-in."""

    quantity = Count("Good parts wanted.", least=1, most=1_000_000)
    quantity_right = Count("Good right-hand parts, where the lot has both hands.")
    quantity_left = Count("Good left-hand parts.")
    setup_time_min = _minutes("Set-up, once for the lot.")
    hand_change_time_min = _minutes("Change to the other hand.")
    first_article_trials = Count("Trial cuts of each hand, measured and corrected.", most=100)
    measure_time_s = _seconds("One measurement at the machine.")
    correction_time_s = _seconds("Working out and entering a correction.")
    measure_every = Count("The first part and every so many are measured; 0: none.", most=1_000_000)
    load_time_s = _seconds("Unloading, cleaning, loading and clamping a part.")
    tool_change_time_s = _seconds("A tool change, from cut to cut.")
    spindle_start_time_s = _seconds("Starting the spindle.")
    spindle_stop_time_s = _seconds("Stopping the spindle.")
    inspection_time_s = _seconds("Inspection of each part beside the machine.")
    tool_life_min = Number(
        "Life of the thread's tool, in the cut.", kind=TIME_MINUTES, above=0, most=100_000
    )
    tool_cost = _money("Cost of the thread's cutter, or of one edge.")
    tool_replacement_time_s = _seconds("Changing the worn cutter and setting it.")
    tool_charge = Choice(
        "Charge the worn share of the cutters, or every cutter begun.", ("used", "whole")
    )
    tools = Items(
        "Life and cost of further tools, by their names in the operations.",
        Record(
            "A tool.",
            {
                "name": Text("Name in the operations.", longest=60, required=True),
                "life_min": Number("Life in the cut.", above=0, most=100_000),
                "cost": _money("Cost of one."),
                "replacement_time_s": _seconds("Changing the worn one."),
            },
        ),
        most=20,
    )
    scrap_share = _share("Share of the started parts that are lost.")
    learning_share = Number(
        "Time of work by hand at twice the quantity, as a share of the time before.",
        least=0.5,
        most=1,
    )
    machine_rate = _money("Money for a machine hour.")
    labour_rate = _money("Money for a working hour.")
    attendance_share = Number(
        "Share of the machine cycle in which the operator stands by.", least=0, most=1
    )
    currency = Text("Currency; only repeated in the answer.", longest=10)
    material_cost = _money("Material of one part.")
    fixture_cost = _money("Money spent on the holding, once.")
    spread_cycle_share = _share("Half width of the spread of cutting times.")
    spread_handling_share = _share("Half width of the spread of handling times.")
    spread_setup_share = _share("Half width of the spread of the set-up.")
    spread_first_article_share = _share("Half width of the spread of the first article.")
    spread_tool_life_share = _share("Half width of the spread of tool life.")
    spread_seed = Count("Seed of the drawn spread.", most=2**31 - 1)
    spread_samples = Count("Number of draws.", least=100, most=20_000)
    price_break_quantities = Items(
        "Quantities for which a price is wanted.", Count("Quantity.", least=1), most=50
    )
    lot_quantity = Count("Parts in each lot, where lots repeat.", least=1)
    alternative_setup_time_min = _minutes("The other holding: set-up.")
    alternative_load_time_s = _seconds("The other holding: loading.")
    alternative_fixture_cost = _money("The other holding: money spent once.")
    alternative_scrap_share = _share("The other holding: parts lost.")
    alternative_measure_every = Count("The other holding: measured every so many.")
    alternative_first_article_trials = Count("The other holding: trial cuts.", most=100)
    alternative_thread_process = Choice(
        "Another way to make the thread: milled with another cutter, or turned.",
        ("milled", "turned"),
    )
    alternative_thread_cutter_profile = Choice("Its cutter's profile.", ("single", "full"))
    alternative_thread_passes = Count("Its passes, spring passes among them.", least=1, most=200)
    alternative_thread_feed_centre = _feed("Its feed of the cutter's centre.")
    alternative_thread_cutter_centre_radius = _length("Its radius of the cutter's centre.")
    alternative_thread_spindle_speed = Number(
        "Its spindle speed, turned.", kind=SPINDLE_SPEED, above=0, most=500_000
    )
    alternative_thread_tool_cost = _money("Its cutter's cost.")
    alternative_thread_tool_life_min = Number("Its cutter's life.", above=0, most=100_000)
    alternative_thread_setup_time_min = _minutes("Its set-up.")
    what_if_feed_ratio = Number(
        "Compare with every thread feed multiplied by this.", above=0, most=100
    )
    what_if_passes = Count("Compare with only the last so many passes.", least=1, most=100)


OPERATION_KINDS = (
    "circular-milling",
    "thread-milling",
    "chamfer",
    "drilling",
    "straight-cutting",
    "single-point-threading",
    "tapping",
    "hand-work",
    "probing",
    "fixed-time",
)

_PASS = Record(
    "One pass of a thread mill.",
    {
        "path_length": Number(
            "Length at the feed.", kind=LENGTH, above=0, most=_LONGEST_PATH_MM, required=True
        ),
        "cutter_centre_radius": Number(
            "Radius of the path.", kind=LENGTH, above=0, most=_MOST_MM, required=True
        ),
        "feed_centre": Number(
            "Feed of the cutter's centre.", kind=FEED_RATE, above=0, most=1_000_000, required=True
        ),
        "starts": Count("Helices, one after the other.", least=1, most=20),
        "arcs_length": Number(
            "Of that length, what all arcs in and out take together.",
            kind=LENGTH,
            least=0,
            most=_LONGEST_PATH_MM,
        ),
        "entry_arc_radius": _length("Radius of its arcs."),
        "times": Count("Equal passes.", least=1, most=200),
    },
)

_OPERATION = Record(
    "One operation of a part: its kind and the members of that kind.",
    {
        "kind": Choice("Kind of operation.", OPERATION_KINDS, required=True),
        "name": Text("What the answer calls it; a usual word if not given.", longest=60),
        "tool": Text("Tool; a change of tool takes time.", longest=60),
        "sized": Flag("Whether this operation makes the size that is measured."),
        "side": Choice("Outside or inside.", ("external", "internal")),
        "start_diameter": _length("Diameter before."),
        "diameter": _length("Diameter after, or of the drill or edge."),
        "length": _length("Axial length of a step, bore or turned diameter."),
        "depth": _length("Depth of a hole at full diameter, or to which a tap goes."),
        "cutter_diameter": _length("Diameter of the cutter where it touches the work."),
        "radial_depth": _length("Radial depth of a cut."),
        "axial_depth": _length("Axial depth of a cut."),
        "finishing_cuts": Count("Further turns at the diameter after.", most=20),
        "feed": _feed("Feed of the cutter's centre, of a drill, or of a turning tool."),
        "entry_arc_radius": _length("Radius of the arcs."),
        "clearance": Number(
            "Height above the part down to which moves are rapid.",
            kind=LENGTH,
            least=0,
            most=_MOST_MM,
        ),
        "turns": Count("Turns that a chamfer is milled in.", least=1, most=100),
        "overlap": Number(
            "Way of a chamfer past its full turns.", kind=LENGTH, least=0, most=_MOST_MM
        ),
        "point_angle_deg": Number("Point angle of the drill.", above=0, most=180),
        "peck_depth": _length("Depth after which the drill comes out of the hole."),
        "holes": Count("Equal holes that are drilled.", least=1, most=10_000),
        "dwell_s": _seconds("Dwell at the bottom of a hole."),
        "approach": Number("Way at the feed before the work.", kind=LENGTH, least=0, most=_MOST_MM),
        "overrun": Number("Way at the feed past the work.", kind=LENGTH, least=0, most=_MOST_MM),
        "retract": Number(
            "Way out of a turned thread, and in again, at the ends of a cut.",
            kind=LENGTH,
            least=0,
            most=_MOST_MM,
        ),
        "return": Number(
            "Rapid way from the end of a thread mill's pass to the start of the next.",
            kind=LENGTH,
            least=0,
            most=_MOST_MM,
        ),
        "thread_length": _length("Length of the thread that is turned."),
        "lead": _length("Rise of the thread for each turn."),
        "cuts": Count("Cuts of one start.", least=1, most=500),
        "starts": Count("Starts of a turned thread.", least=1, most=20),
        "spindle_speed": Number(
            "Spindle speed of a turned thread, or of a tap going in.",
            kind=SPINDLE_SPEED,
            above=0,
            most=500_000,
        ),
        "return_speed": Number(
            "Speed out as a multiple of the speed in.", kind=RATIO, above=0, most=20
        ),
        "reversal_time_s": _seconds("Reversal of the spindle."),
        "passes": Items("Passes of a thread mill.", _PASS, most=200),
        "time_s": _seconds("Time of work by hand, or of anything else that is known."),
        "beside": Flag("Whether it is done while the machine runs."),
        "cutting": Flag("Whether it is time in the cut."),
        "points": Count("Probed points.", most=1000),
        "time_per_point_s": _seconds("Time of a probed point."),
    },
)


def _loosened(mixin: type) -> type:
    """A mix-in whose keys need not be given, and in whose place nothing is assumed."""
    return type(
        mixin.__name__,
        (),
        {
            key: unassumed(field)
            for each in reversed(mixin.__mro__)
            for key, field in vars(each).items()
            if isinstance(field, WireField)
        },
    )


class ThreadTimeKeys:
    """What is known of the thread's time without a pass plan; a mix-in."""

    operations = Items("Operations of the part, in order.", _OPERATION, most=50)
    thread_process = Choice("How the thread is made.", ("milled", "turned", "tapped"))
    thread_cutting_time_s = _seconds("The thread's time in the cut, where it is known.")
    path_length = Number(
        "Length of one pass with its arcs, of all starts.",
        kind=LENGTH,
        above=0,
        most=_LONGEST_PATH_MM,
    )
    cutter_centre_radius = _length("Radius of the cutter centre's path.")
    feed_centre = _feed("Feed of the cutter's centre.")
    spindle_speed = Number(
        "Spindle speed, where the thread is turned or tapped.",
        kind=SPINDLE_SPEED,
        above=0,
        most=500_000,
    )


CycleTimeRequest = type(
    "CycleTimeRequest",
    (
        ThreadTimeKeys,
        LotKeys,
        PartKeys,
        MotionKeys,
        _loosened(PlanKeys),
        _loosened(CutterKeys),
        _loosened(MaterialKeys),
        _loosened(MachineKeys),
        ThreadRequestSchema,
    ),
    {
        "__doc__": "The operations of a part and the terms of a lot.",
        "__module__": __name__,
    },
)


class JobSheetRequest(
    LotKeys,
    PartKeys,
    MotionKeys,
    PlanKeys,
    CutterKeys,
    MaterialKeys,
    MachineKeys,
    TreatmentKeys,
    ThreadRequestSchema,
):
    """One job and one lot: thread, cutter, material, machine, operations and terms."""

    job = Text("Name of the job, for the sheet's head.", longest=80)
    coolant = Choice("Cooling that the tool life stands for.", COOLANTS)
    wire_diameter = Number(
        "Diameter of the measuring wire or ball; the best one if not given.",
        kind=LENGTH,
        above=0,
        most=200,
    )
    wires_on_hand = Items(
        "Diameters on hand, from which the best usable one is chosen.",
        Number("Diameter.", kind=LENGTH, above=0, most=200),
        most=500,
    )
    uncertainty = Number(
        "Expanded uncertainty (k = 2) of the measured pitch diameter.",
        kind=LENGTH,
        least=0,
        most=10,
    )
