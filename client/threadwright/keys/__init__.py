"""The keys that each operation takes, as typed keyword arguments.

Hand-written, and compared with the service's OpenAPI file by the tests. What stands below a key is
shown by editors, and by the shell as its help.
"""

from threadwright.keys.call import CallKeys
from threadwright.keys.cutting import CuttingDataKeys
from threadwright.keys.jobs import JobSheetKeys
from threadwright.keys.measurement import (
    GaugeLimitsKeys,
    HardnessKeys,
    SizeCorrectionKeys,
    ThreadHoleKeys,
    WireMeasurementKeys,
)
from threadwright.keys.milling import PassPlanKeys
from threadwright.keys.threads import ThreadLimitsKeys
from threadwright.keys.times import CycleTimeKeys, MillingPass, PartOperation, Tool
from threadwright.keys.turning import TurningPlanKeys

__all__ = [
    "CallKeys",
    "CuttingDataKeys",
    "CycleTimeKeys",
    "GaugeLimitsKeys",
    "HardnessKeys",
    "JobSheetKeys",
    "MillingPass",
    "PartOperation",
    "PassPlanKeys",
    "SizeCorrectionKeys",
    "ThreadHoleKeys",
    "ThreadLimitsKeys",
    "Tool",
    "TurningPlanKeys",
    "WireMeasurementKeys",
]
