"""ISO trapezoidal threads."""
