"""The keys that each operation takes, as typed keyword arguments.

Hand-written, and compared with the service's OpenAPI file by the tests.
"""

from __future__ import annotations

from typing import Literal, TypedDict

Unit = Literal["mm", "in"]


class CallKeys(TypedDict, total=False):
    """What every operation takes.

    ``timeout`` is this client's own and is not sent: seconds, or seconds to connect and to wait, or
    ``None`` to wait for ever.
    """

    unit: Unit
    working: bool
    timeout: float | tuple[float, float] | None


class ThreadKeys(CallKeys, total=False):
    """A thread, as a call-out or as fields."""

    designation: str
    series: str
    nominal_diameter: float | str
    pitch: float
    threads_per_inch: float
    tolerance_class: str
    hand: Literal["right", "left", "RH", "LH"]
    starts: int
    length_of_engagement: float
    rounding: Literal["table", "b130"]


class ThreadLimitsKeys(ThreadKeys, total=False):
    """Keys of ``thread_limits``."""
