"""Keys of the job sheet."""

from collections.abc import Sequence
from typing import Literal, Required

from threadwright.keys.milling import CutterKeys, MachineKeys, MaterialKeys, PlanKeys
from threadwright.keys.threads import ThreadKeys, TreatmentKeys
from threadwright.keys.times import LotKeys, MotionKeys, PartKeys


class JobSheetKeys(
    LotKeys,
    PartKeys,
    MotionKeys,
    PlanKeys,
    CutterKeys,
    MaterialKeys,
    MachineKeys,
    TreatmentKeys,
    ThreadKeys,
    total=False,
):
    """Keys of ``job_sheet``."""

    material: Required[str]
    """Work material: a group of the materials list, or an international grade name."""
    cutter_diameter: Required[float]
    """Cutting diameter."""
    cutter_teeth: Required[int]
    """Number of teeth around the cutter."""
    thread_length: Required[float]
    """Length of full thread."""
    job: str
    """Name of the job, for the sheet's head."""
    coolant: Literal["flood", "air", "minimum-quantity", "dry"]
    """Cooling that the tool life stands for."""
    wire_diameter: float
    """Diameter of the measuring wire or ball; the best one if not given."""
    wires_on_hand: Sequence[float]
    """Diameters on hand, from which the best usable one is chosen."""
    uncertainty: float
    """Expanded uncertainty (k = 2) of the measured pitch diameter."""
