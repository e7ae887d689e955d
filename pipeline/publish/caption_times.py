"""When captions show: each with the time to read it, borrowed from the silence around it where there is any.

Reading needs a second and 180 words a minute. A cue that gets too little before the next one starts earlier,
into the silence before it; what is still missing is taken from the start of the next one, which then comes a
little after its voice. How far a cue may leave its voice is bounded both ways.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

WORDS_A_MINUTE = 180
"""The upper end of the BBC Subtitle Guidelines' range (from memory)."""

WORDS_A_SECOND = WORDS_A_MINUTE / 60

SHORTEST = 1.0
LONGEST = 7.0
"""Seconds on screen at least and at most (common practice; the DCMP Captioning Key has about the same)."""

EARLIEST = 0.6
LATEST = 0.8
"""Seconds that a cue may come before its voice, or after it, to be readable; by judgement, under the second
and a half that the BBC Subtitle Guidelines allow at most for late ones (from memory)."""

LINGER = 0.5
"""Seconds that a cue stays after its voice where nothing follows, so that it does not blink away."""

TWO_FRAMES = 2 / 25
"""Seconds of the least gap between cues that is seen as one: two frames at 25 a second (common practice)."""

ROUNDING = 0.002
"""Seconds that the rounding of two times to milliseconds can take from a cue."""


@dataclass(frozen=True, slots=True)
class Spoken:
    """What a cue says: from ``start`` to ``end`` in seconds, in so many ``words``."""

    start: float
    end: float
    words: int

    @property
    def needed(self) -> float:
        """Seconds that a reader needs."""
        return min(max(self.words / WORDS_A_SECOND, SHORTEST) + ROUNDING, LONGEST)


def place_cues(spoken: Sequence[Spoken]) -> list[tuple[float, float]]:
    """Return the start and end of each cue in seconds, in milliseconds' steps; none overlaps another."""
    starts = [one.start for one in spoken]
    for i in range(len(spoken) - 2, -1, -1):
        asked = min(starts[i], starts[i + 1] - spoken[i].needed)
        starts[i] = max(asked, spoken[i].start - EARLIEST, 0.0)
    for i in range(1, len(spoken)):
        free = starts[i - 1] + spoken[i - 1].needed
        pushed = min(max(starts[i], free), max(spoken[i].start + LATEST, starts[i]))
        starts[i] = max(pushed, starts[i - 1] + TWO_FRAMES)
    times = []
    for i, one in enumerate(spoken):
        start = starts[i]
        end = min(max(start + one.needed, one.end + LINGER), start + LONGEST)
        following = starts[i + 1] if i + 1 < len(spoken) else float("inf")
        if end > following - TWO_FRAMES - ROUNDING:
            end = following if following - start <= LONGEST else following - TWO_FRAMES - ROUNDING
        times.append((round(start, 3), round(end, 3)))
    return times


def is_too_fast(words: int, start: float, end: float) -> bool:
    """Return whether a cue asks for more than 180 words a minute or is gone within a second."""
    shown = round(end - start, 3)
    return words > WORDS_A_SECOND * shown or shown < SHORTEST
