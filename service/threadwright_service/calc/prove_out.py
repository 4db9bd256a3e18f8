"""What is said of every plan, condition and time that a machine is to follow."""

from __future__ import annotations

from typing import Final

PROVE_OUT: Final = (
    "prove-out",
    "The limits of the cutter's and the machine's makers come first. Prove out above the part "
    "with the guards closed.",
)
"""Code and words of the caution: the same everywhere, so that a joined answer says it once."""
