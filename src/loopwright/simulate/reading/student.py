"""Student's t distribution for whole degrees of freedom, by its finite sum.

With theta = atan(t / sqrt(n)), the chance that |T| stays below t is a finite sum in the sine and
cosine of theta: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 (n odd) and
26.7.4 (n even). Floats: this is for measurements.
"""

from __future__ import annotations

from math import atan, cos, inf, pi, sin, sqrt


def t_within(t: float, freedom: int) -> float:
    """The chance that a t variable with `freedom` degrees of freedom lies in [-t, t]."""
    if freedom < 1:
        raise ValueError(f"{freedom} degrees of freedom")
    theta = atan(t / sqrt(freedom))
    square = cos(theta) ** 2
    odd = freedom % 2
    term = cos(theta) if odd else 1.0
    total = 0.0
    for power in range(odd, freedom - 1, 2):
        total += term
        term *= square * (power + 1) / (power + 2)
    total *= sin(theta)
    return 2 / pi * (theta + total) if odd else total


def t_quantile(confidence: float, freedom: int) -> float:
    """The t for which [-t, t] holds the share `confidence` of the distribution.

    Raises
    ------
    ValueError
        `confidence` is not in [0, 1), or there are no degrees of freedom.
    """
    if not 0 <= confidence < 1:
        raise ValueError(f"a confidence of {confidence}")
    low, high = 0.0, 1.0
    while t_within(high, freedom) < confidence:
        low, high = high, 2 * high
        if high == inf:
            raise ValueError(f"a confidence of {confidence}")
    while True:
        middle = (low + high) / 2
        if middle in (low, high):
            return middle
        if t_within(middle, freedom) < confidence:
            low = middle
        else:
            high = middle
