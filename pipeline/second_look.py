"""Where a recording deserves a second look: a count that was called rep by rep, and then has a hole in it.

A coach who calls every rep hardly leaves one out; a recogniser does. So the stretch between two called numbers
is worth recognising again where the set is counted closely, a number or two were not heard there, and no other
number ("halfway", "two more") was said in their place. Whether the coach did leave it out is found by listening
again, not assumed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.model import Number, Record, Transcript

if TYPE_CHECKING:
    from pipeline.transcripts.sound import SoundOptions

COUNTED = ("rep", "left")
"""Roles of numbers that go on by one from call to call."""

CLOSELY_COUNTED = 0.5
"""Share of a set's calls that follow the one before by one. A sparse count has holes of its own."""

MOST_MISSING = 2
"""Numbers. Where more are missing, the coach was talking of something else."""

LEAST_SECONDS = 0.6
"""Seconds. A shorter stretch between two words has no room for another word and its pauses."""


def look_twice(
    path: Path, transcript: Transcript, options: SoundOptions, extra_lexicon: Path | None = None
) -> Transcript:
    """Return the transcript of a recording with the holes in its counts recognised again.

    Analyses the transcript once to find them; where there is none, it is returned as it is.
    """
    from pipeline.analyze import analyze
    from pipeline.transcripts.sound import second_look

    return second_look(path, transcript, find_holes(analyze(transcript, extra_lexicon)), options)


def find_holes(record: Record) -> list[tuple[float, float]]:
    """Return the stretches (seconds, from and to) in which numbers are missing that were probably called."""
    return sorted(
        hole
        for index in range(len(record.sets))
        for role in COUNTED
        for hole in _holes_of_count(
            [number for number in record.numbers if number.set == index and number.role == role], record
        )
    )


def _holes_of_count(calls: Sequence[Number], record: Record) -> Iterator[tuple[float, float]]:
    steps = [abs(b.n - a.n) for a, b in pairwise(calls) if a.n is not None and b.n is not None]
    if not steps or sum(step == 1 for step in steps) < CLOSELY_COUNTED * len(steps):
        return
    for first, second in pairwise(calls):
        if first.n is None or second.n is None or not 1 < abs(second.n - first.n) <= MOST_MISSING + 1:
            continue
        start, end = record.words[first.words[1] - 1].end, record.words[second.words[0]].start
        said_instead = any(start <= number.time < end for number in record.numbers)
        if end - start >= LEAST_SECONDS and not said_instead:
            yield start, end
