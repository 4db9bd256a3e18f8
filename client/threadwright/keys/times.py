"""Keys of times and costs."""

from collections.abc import Sequence
from typing import Literal, Required, TypedDict

from threadwright.keys.milling import CutterKeys, MachineKeys, MaterialKeys, PlanKeys
from threadwright.keys.threads import ThreadKeys


class MillingPass(TypedDict, total=False):
    """One pass of a thread mill."""

    path_length: Required[float]
    """Length at the feed."""
    cutter_centre_radius: Required[float]
    """Radius of the path."""
    feed_centre: Required[float]
    """Feed of the cutter's centre."""
    starts: int
    """Helices, one after the other."""
    arcs_length: float
    """Of that length, what all arcs in and out take together."""
    entry_arc_radius: float
    """Radius of its arcs."""
    times: int
    """Equal passes."""


# Keys that are words of Python.
_Words = TypedDict("_Words", {"return": float}, total=False)


class PartOperation(_Words, total=False):
    """One operation of a part: its kind and the members of that kind."""

    kind: Required[
        Literal[
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
        ]
    ]
    """Kind of operation."""
    name: str
    """What the answer calls it; a usual word if not given."""
    tool: str
    """Tool; a change of tool takes time."""
    sized: bool
    """Whether this operation makes the size that is measured."""
    side: Literal["external", "internal"]
    """Outside or inside."""
    start_diameter: float
    """Diameter before."""
    diameter: float
    """Diameter after, or of the drill or edge."""
    length: float
    """Axial length of a step, bore or turned diameter."""
    depth: float
    """Depth of a hole at full diameter, or to which a tap goes."""
    cutter_diameter: float
    """Diameter of the cutter where it touches the work."""
    radial_depth: float
    """Radial depth of a cut."""
    axial_depth: float
    """Axial depth of a cut."""
    finishing_cuts: int
    """Further turns at the diameter after."""
    feed: float
    """Feed of the cutter's centre, of a drill, or of a turning tool."""
    entry_arc_radius: float
    """Radius of the arcs."""
    clearance: float
    """Height above the part down to which moves are rapid."""
    turns: int
    """Turns that a chamfer is milled in."""
    overlap: float
    """Way of a chamfer past its full turns."""
    point_angle_deg: float
    """Point angle of the drill."""
    peck_depth: float
    """Depth after which the drill comes out of the hole."""
    holes: int
    """Equal holes that are drilled."""
    dwell_s: float
    """Dwell at the bottom of a hole."""
    approach: float
    """Way at the feed before the work."""
    overrun: float
    """Way at the feed past the work."""
    retract: float
    """Way out of a turned thread, and in again, at the ends of a cut."""
    thread_length: float
    """Length of the thread that is turned."""
    lead: float
    """Rise of the thread for each turn."""
    cuts: int
    """Cuts of one start."""
    starts: int
    """Starts of a turned thread."""
    spindle_speed: float
    """Spindle speed of a turned thread, or of a tap going in."""
    return_speed: float
    """Speed out as a multiple of the speed in."""
    reversal_time_s: float
    """Reversal of the spindle."""
    passes: Sequence[MillingPass]
    """Passes of a thread mill."""
    time_s: float
    """Time of work by hand, or of anything else that is known."""
    beside: bool
    """Whether it is done while the machine runs."""
    cutting: bool
    """Whether it is time in the cut."""
    points: int
    """Probed points."""
    time_per_point_s: float
    """Time of a probed point."""


class ThreadTimeKeys(TypedDict, total=False):
    """What is known of the thread's time without a pass plan."""

    operations: Sequence[PartOperation]
    """Operations of the part, in order."""
    thread_process: Literal["milled", "turned", "tapped"]
    """How the thread is made."""
    thread_cutting_time_s: float
    """The thread's time in the cut, where it is known."""
    path_length: float
    """Length of one pass with its arcs, of all starts."""
    cutter_centre_radius: float
    """Radius of the cutter centre's path."""
    feed_centre: float
    """Feed of the cutter's centre."""
    spindle_speed: float
    """Spindle speed, where the thread is turned or tapped."""


class Tool(TypedDict, total=False):
    """A tool."""

    name: Required[str]
    """Name in the operations."""
    life_min: float
    """Life in the cut."""
    cost: float
    """Cost of one."""
    replacement_time_s: float
    """Changing the worn one."""


class LotKeys(TypedDict, total=False):
    """The terms of a lot."""

    quantity: int
    """Good parts wanted."""
    quantity_right: int
    """Good right-hand parts, where the lot has both hands."""
    quantity_left: int
    """Good left-hand parts."""
    setup_time_min: float
    """Set-up, once for the lot."""
    hand_change_time_min: float
    """Change to the other hand."""
    first_article_trials: int
    """Trial cuts of each hand, measured and corrected."""
    measure_time_s: float
    """One measurement at the machine."""
    correction_time_s: float
    """Working out and entering a correction."""
    measure_every: int
    """The first part and every so many are measured; 0: none."""
    load_time_s: float
    """Unloading, cleaning, loading and clamping a part."""
    tool_change_time_s: float
    """A tool change, from cut to cut."""
    spindle_start_time_s: float
    """Starting the spindle."""
    spindle_stop_time_s: float
    """Stopping the spindle."""
    inspection_time_s: float
    """Inspection of each part beside the machine."""
    tool_life_min: float
    """Life of the thread's tool, in the cut."""
    tool_cost: float
    """Cost of the thread's cutter, or of one edge."""
    tool_replacement_time_s: float
    """Changing the worn cutter and setting it."""
    tool_charge: Literal["used", "whole"]
    """Charge the worn share of the cutters, or every cutter begun."""
    tools: Sequence[Tool]
    """Life and cost of further tools, by their names in the operations."""
    scrap_share: float
    """Share of the started parts that are lost."""
    learning_share: float
    """Time of work by hand at twice the quantity, as a share of the time before."""
    machine_rate: float
    """Money for a machine hour."""
    labour_rate: float
    """Money for a working hour."""
    attendance_share: float
    """Share of the machine cycle in which the operator stands by."""
    currency: str
    """Currency; only repeated in the answer."""
    material_cost: float
    """Material of one part."""
    fixture_cost: float
    """Money spent on the holding, once."""
    spread_cycle_share: float
    """Half width of the spread of cutting times."""
    spread_handling_share: float
    """Half width of the spread of handling times."""
    spread_setup_share: float
    """Half width of the spread of the set-up."""
    spread_first_article_share: float
    """Half width of the spread of the first article."""
    spread_tool_life_share: float
    """Half width of the spread of tool life."""
    spread_seed: int
    """Seed of the drawn spread."""
    spread_samples: int
    """Number of draws."""
    price_break_quantities: Sequence[int]
    """Quantities for which a price is wanted."""
    lot_quantity: int
    """Parts in each lot, where lots repeat."""
    alternative_setup_time_min: float
    """The other holding: set-up."""
    alternative_load_time_s: float
    """The other holding: loading."""
    alternative_fixture_cost: float
    """The other holding: money spent once."""
    alternative_scrap_share: float
    """The other holding: parts lost."""
    alternative_measure_every: int
    """The other holding: measured every so many."""
    alternative_first_article_trials: int
    """The other holding: trial cuts."""
    alternative_thread_process: Literal["milled", "turned"]
    """Another way to make the thread: milled with another cutter, or turned."""
    alternative_thread_cutter_profile: Literal["single", "full"]
    """Its cutter's profile."""
    alternative_thread_passes: int
    """Its passes, spring passes among them."""
    alternative_thread_feed_centre: float
    """Its feed of the cutter's centre."""
    alternative_thread_cutter_centre_radius: float
    """Its radius of the cutter's centre."""
    alternative_thread_spindle_speed: float
    """Its spindle speed, turned."""
    alternative_thread_tool_cost: float
    """Its cutter's cost."""
    alternative_thread_tool_life_min: float
    """Its cutter's life."""
    alternative_thread_setup_time_min: float
    """Its set-up."""
    what_if_feed_ratio: float
    """Compare with every thread feed multiplied by this."""
    what_if_passes: int
    """Compare with only the last so many passes."""


class PartKeys(TypedDict, total=False):
    """What is done on a part besides its thread; a group is given whole or not at all."""

    drill_diameter: float
    """Hole: diameter of the drill."""
    drill_depth: float
    """Hole: depth at full diameter."""
    drill_feed: float
    """Hole: feed of the drill."""
    drill_peck_depth: float
    """Hole: depth of a peck."""
    step_start_diameter: float
    """Step, or bore inside: diameter before."""
    step_diameter: float
    """Step or bore: diameter after."""
    step_length: float
    """Step or bore: length."""
    step_cutter_diameter: float
    """Step or bore: cutter diameter."""
    step_radial_depth: float
    """Step or bore: radial depth of a cut."""
    step_axial_depth: float
    """Step or bore: axial depth of a cut."""
    step_feed: float
    """Step or bore: feed of the cutter's centre."""
    chamfer_diameter: float
    """Chamfer: diameter of the edge."""
    chamfer_cutter_diameter: float
    """Chamfer: diameter of the cutter where it touches."""
    chamfer_feed: float
    """Chamfer: feed of the cutter's centre."""
    probing_points: int
    """Points probed on each part."""
    probing_time_per_point_s: float
    """Time of a probed point."""
    other_time_s: float
    """Anything else at the machine, on each part."""
    deburr_time_s: float
    """Deburring by hand."""
    deburr_beside: bool
    """Whether deburring is done while the machine runs."""


class MotionKeys(TypedDict, total=False):
    """How the machine moves, beside the keys of the machine."""

    centripetal_g: float
    """Acceleration towards the centre of a circle, in g; acceleration_g if not given."""
    braking_g: float
    """Slowing down, in g; acceleration_g if not given."""
    block_rate_per_s: float
    """Program blocks that the control reads in a second."""
    look_ahead_blocks: int
    """Blocks that the control looks ahead; 0 stops at each."""


class CycleTimeKeys(
    ThreadTimeKeys,
    LotKeys,
    PartKeys,
    MotionKeys,
    PlanKeys,
    CutterKeys,
    MaterialKeys,
    MachineKeys,
    ThreadKeys,
    total=False,
):
    """Keys of ``cycle_time``."""

    material: str
    """Work material: a group of the materials list, or an international grade name."""
    cutter_diameter: float
    """Cutting diameter."""
    cutter_teeth: int
    """Number of teeth around the cutter."""
    thread_length: float
    """Length of full thread."""
