"""Which frames show which count.

Frame ``i`` shows what is due at ``i / rate`` seconds. A count is on the picture from the first frame at or
after its time, so it never comes before its rep.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from pipeline.model import Record
from pipeline.publish.counter import CounterState, counter_states


@dataclass(frozen=True, slots=True)
class Span:
    """The frames ``first`` to ``stop`` (exclusive) that show one count, or nothing."""

    first: int
    stop: int
    state: CounterState | None


def frame_count(record: Record, rate: Fraction) -> int:
    """Return how many frames the overlay has: as long as the class, one at least."""
    return max(_frame_at(record.source.duration, rate), 1)


def spans(record: Record, rate: Fraction) -> Iterator[Span]:
    """Yield the spans of an overlay in order; together they hold every frame once."""
    at, total = 0, frame_count(record, rate)
    for state in counter_states(record):
        first, stop = (min(_frame_at(time, rate), total) for time in (state.start, state.end))
        # A count shorter than a frame leaves no picture.
        if first >= stop:
            continue
        if at < first:
            yield Span(at, first, None)
        yield Span(first, stop, state)
        at = stop
    if at < total:
        yield Span(at, total, None)


def _frame_at(time: float, rate: Fraction) -> int:
    """Return the first frame at or after a time, times being exact to the millisecond."""
    return math.ceil(Fraction(round(time * 1000), 1000) * rate)
