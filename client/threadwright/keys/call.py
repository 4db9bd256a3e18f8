"""Keys of every operation."""

from typing import Literal, TypedDict


class CallKeys(TypedDict, total=False):
    """What every operation takes."""

    unit: Literal["mm", "in", "inch"]
    """Unit of every length in the request and the answer; lengths, feeds and surface speeds follow
    it. Needed as soon as the request holds a length besides the call-out.
    """
    working: bool
    """Whether the answer shows each step with formula, numbers, unit and source."""
    timeout: float | tuple[float, float] | None
    """This client's own, not sent: seconds, or seconds to connect and to wait; ``None`` waits for
    ever.
    """
