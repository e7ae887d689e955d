"""Buckets: times and shares as the few steps that a feature can name."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

#: Upper edges of the buckets for a pace (seconds a count) and for a silence between two numbers (seconds).
PACES = (0.5, 0.85, 1.2, 1.7, 2.4, 3.3, 4.5)
GAPS = (0.45, 0.8, 1.15, 1.6, 2.4, 3.6, 5.5, 9.0, 15.0, 30.0, 60.0)


def bucket(value: float, edges: Sequence[float]) -> int:
    """Return how many edges the value has reached; noise in the last digits of a time does not count."""
    return bisect_right(edges, round(value, 4))
