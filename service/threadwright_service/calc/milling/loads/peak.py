"""Largest value of a force over an arc, and the arc within which a force stays under a limit.

The force of one tooth rises from nothing at the wall, has one largest value and falls to where
the tooth leaves the blank. Where more teeth are in the cut at once the sum has a second rise and
is searched by sampling.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

Curve = Callable[[float], float]

_SAMPLES: Final = 24
_FINE: Final = 1e-7
_CROSSING: Final = 1e-6
_SLIGHTLY: Final = 1e-5
_GOLDEN: Final = (math.sqrt(5) - 1) / 2
_LONG: Final = 8
"""Steps within which a root of a smooth function is found."""
_NEAR: Final = 1e-4
"""A summit this near, relative, is off by 1e-8 in height."""


def largest(
    curve: Curve, end_rad: float, guess_rad: float, tooth_pitch_rad: float
) -> tuple[float, float]:
    """Largest value from 0 to ``end_rad``, and the angle where it stands.

    Parameters
    ----------
    guess_rad : float
        Near the largest value of the whole arc [rad].
    tooth_pitch_rad : float
        Angle from tooth to tooth [rad].

    A curve may have a corner and tell where, as its attribute ``corner_rad``: the summit may be
    there.
    """
    if end_rad <= 0:
        return 0.0, 0.0
    if end_rad > tooth_pitch_rad:
        step = end_rad / _SAMPLES
        guess_rad = max((step * k for k in range(1, _SAMPLES + 1)), key=curve)
        return _narrowed(curve, guess_rad - step, min(guess_rad + step, end_rad))
    if end_rad < 0.5 * guess_rad:
        return curve(end_rad), end_rad
    found = _climbed(curve, min(guess_rad, end_rad), end_rad, 0.3 * guess_rad)
    corner_rad = getattr(curve, "corner_rad", end_rad)
    return max(found, (curve(corner_rad), corner_rad)) if corner_rad < end_rad else found


def reached(
    curve: Curve,
    limit: float,
    end_rad: float,
    guess_rad: float,
    tooth_pitch_rad: float,
    power: float,
) -> float:
    """Angle at which the curve first reaches a limit [rad]; ``end_rad`` if it never does.

    Parameters
    ----------
    power : float
        The curve starts as angle^power; found faster if so.
    """
    low_rad, at_rad = 0.0, min(guess_rad, end_rad)
    if end_rad > tooth_pitch_rad or curve(at_rad) <= limit:
        if end_rad < 0.5 * guess_rad and end_rad <= tooth_pitch_rad:
            return end_rad  # the force still rises there
        highest, at_rad = largest(curve, end_rad, guess_rad, tooth_pitch_rad)
        if highest <= limit:
            return end_rad
    if end_rad > tooth_pitch_rad:
        step = end_rad / _SAMPLES
        k = 1
        while k * step < at_rad and curve(k * step) < limit:
            k += 1
        low_rad, at_rad = (k - 1) * step, min(k * step, at_rad)
    return _crossing(curve, limit, low_rad, at_rad, power)


def _crossing(curve: Curve, limit: float, low: float, high: float, power: float) -> float:
    """Where the curve passes the limit between ``low`` (below it) and ``high`` (above)."""
    goal = math.pow(limit, 1 / power)

    def over(angle: float) -> float:
        return math.pow(curve(angle), 1 / power) / goal - 1 if angle > 0 else -1.0

    return root(over, low, high, _CROSSING)


def root(function: Curve, low: float, high: float, fine: float = _FINE) -> float:
    """Where a function changes sign between two places.

    ``fine`` is how near to 0 the value, or how narrow, relative, the bracket must get; a function
    should be near 1 in size where it is far from its root.

    Notes
    -----
    Source: derivation. The first step is a straight line's; the next ones are those of the inverse
    parabola through three points where that is safe, by Chandrupatla's test, else a halving. At a
    jump the parabola may creep, so a search that takes long halves at every other step: it ends
    whatever the function.
    """
    x1, f1, x2, f2 = low, function(low), high, function(high)
    if f1 == 0 or f2 == 0:
        return low if f1 == 0 else high
    share = f1 / (f1 - f2)
    step = 0
    while True:
        step += 1
        x = x1 + share * (x2 - x1)
        f = function(x)
        if (f > 0) == (f1 > 0):
            x3, f3 = x1, f1
        else:
            x3, f3, x2, f2 = x2, f2, x1, f1
        x1, f1 = x, f
        if abs(f) <= fine or abs(x2 - x1) <= fine * abs(x2):
            return x1 if abs(f1) < abs(f2) else x2
        across, along = (f1 - f2) / (f3 - f2), (x1 - x2) / (x3 - x2)
        creeps = step > _LONG and step % 2
        if not creeps and across * across < along and (1 - across) * (1 - across) < 1 - along:
            share = f1 / (f2 - f1) * f3 / (f2 - f3) + (x3 - x1) / (x2 - x1) * f1 / (
                f3 - f1
            ) * f2 / (f3 - f2)
            share = min(max(share, fine), 1 - fine)
        else:
            share = 0.5


def _narrowed(curve: Curve, low: float, high: float) -> tuple[float, float]:
    """Largest value between two places with one summit or corner between them (golden section)."""
    left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_left, at_right = curve(left), curve(right)
    ends = [(curve(high), high)]
    for _ in range(16):
        if at_left > at_right:
            high, right, at_right = right, left, at_left
            left = high - _GOLDEN * (high - low)
            at_left = curve(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + _GOLDEN * (high - low)
            at_right = curve(right)
    return max([*ends, (at_left, left), (at_right, right)])


def _climbed(curve: Curve, start: float, end: float, step: float) -> tuple[float, float]:
    """Largest value of a curve with one summit, not beyond ``end``; the search begins at start."""
    b = min(start, 0.95 * end)
    a, c = max(b - step, b / 2), min(b + step, end)
    fa, fb, fc = curve(a), curve(b), curve(c)
    while fa > fb:
        b, fb, c, fc = a, fa, b, fb
        a /= 2
        fa = curve(a)
    while fc > fb:
        a, fa = b, fb
        if c < end:
            b, fb, c = c, fc, min(c + step, end)
            fc = curve(c)
        elif fc >= curve(end * (1 - _SLIGHTLY)):
            return fc, end
        else:
            # The curve falls at the end, so the summit is short of it.
            b = (b + end) / 2
            fb = curve(b)
    for _ in range(4):
        # The summit of the parabola through the three points.
        left, right = (b - a) * (fb - fc), (b - c) * (fb - fa)
        if left == right:
            return fb, b
        top = b - ((b - a) * left - (b - c) * right) / (2 * (left - right))
        if abs(top - b) < _NEAR * b:
            return fb, b
        at_top = curve(top)
        if abs(at_top - fb) < _SLIGHTLY * fb:
            return max((at_top, top), (fb, b))
        if at_top < fb:
            (a, fa, c, fc) = (top, at_top, c, fc) if top < b else (a, fa, top, at_top)
        else:
            (a, fa, c, fc) = (a, fa, b, fb) if top < b else (b, fb, c, fc)
            b, fb = top, at_top
    # No parabola: a corner, where run-out leaves one tooth to do the work of all.
    return max((fb, b), _narrowed(curve, a, c))
