"""counter.vtt: the on-screen rep counter as a WebVTT metadata track, its payload a JSON object on one line.

A cue says what the counter shows from its start to its end. Cues do not overlap; between sets there is none.
The keys, all of them in every cue:

=========  ==================================================================================================
exercise   the exercise's name
side       "left", "right" or null
range      "lower", "upper", "full", "pulse" or null
round      the number of the round, or null
unit       "reps" or "seconds"
n          the rep just done (0 from the start of the set to its first rep), or the whole seconds gone by
target     what was announced for the set, in ``unit``, or null
left       what is still to do of the target, never below 0; null where there is no target
called     true where this number was spoken (in a set of seconds: a second or time was called in this second)
set        the set's place in the record, from 0
=========  ==================================================================================================

The shortest cue is a millisecond, the finest time of the format; the last rep of a set stays for
``LAST_REP`` seconds where nothing follows sooner.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from pipeline.model import Record, WorkSet
from pipeline.publish.webvtt_file import VttCue, webvtt_file

LAST_REP = 1.5
"""Seconds that the last count of a set stays, long enough to be read."""


def write(record: Record) -> str:
    """Return the text of counter.vtt."""
    return webvtt_file(counter_cues(record))


def counter_cues(record: Record) -> tuple[VttCue, ...]:
    """Return the cues of the counter in rising order of time, none over another."""
    order = sorted(range(len(record.sets)), key=lambda index: record.sets[index].start)
    cues: list[VttCue] = []
    for place, index in enumerate(order):
        one = record.sets[index]
        limit = record.sets[order[place + 1]].start if place + 1 < len(order) else float("inf")
        counts = list(_seconds(record, index) if one.unit == "seconds" else _reps(one))
        for (time, n, called), after in zip(counts, [*counts[1:], None], strict=True):
            end = after[0] if after else max(one.end, time + LAST_REP)
            if round(min(end, limit), 3) > round(time, 3):
                cues.append(VttCue(time, min(end, limit), _payload(index, one, n, called)))
    return tuple(cues)


def _reps(one: WorkSet) -> Iterator[tuple[float, int, bool]]:
    """Yield time, number and whether it was called, of the set's start and of each rep."""
    reps = sorted(one.reps, key=lambda rep: rep.time)
    if not reps or reps[0].time > one.start:
        yield one.start, 0, False
    for rep in reps:
        yield rep.time, rep.n, rep.called


def _seconds(record: Record, index: int) -> Iterator[tuple[float, int, bool]]:
    """Yield each whole second of a timed set, from 0; a last part of a second belongs to the one before."""
    one = record.sets[index]
    spoken = {
        int(number.time - one.start)
        for number in record.numbers
        if number.set == index and number.role in {"hold", "clock", "half"} and number.time >= one.start
    }
    length = int(round(one.end - one.start, 3))
    for n in range(max(length, 1)):
        yield one.start + n, n, n in spoken
    if length:
        yield one.start + length, length, length in spoken


def _payload(index: int, one: WorkSet, n: int, called: bool) -> str:
    values: dict[str, Any] = {
        "exercise": one.exercise_name,
        "side": one.side,
        "range": one.range,
        "round": one.round,
        "unit": one.unit,
        "n": n,
        "target": one.target,
        "left": None if one.target is None else max(one.target - n, 0),
        "called": called,
        "set": index,
    }
    text = json.dumps(values, ensure_ascii=False)
    # "-->" may stand in no payload (W3C WebVTT, "WebVTT cue block"), and readers that know no metadata take
    # "<" for a tag; as JSON escapes both stay what they are.
    return text.replace("<", "\\u003c").replace(">", "\\u003e")
