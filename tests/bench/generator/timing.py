"""Working sets by the clock: holds, intervals and breaths, what is called of the time, and mistakes."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from tests.bench.generator.filling import fill_gaps
from tests.bench.generator.habits import Habits
from tests.bench.generator.phrases import in_words, tag
from tests.bench.generator.speech import Line, Stage

#: How long a set off the clock lasts, as a share of what was announced.
TOO_LONG, TOO_SHORT = (1.3, 1.5), (0.6, 0.72)
#: Shortest announced time (s) at which a deviation is clear enough to plant.
SHORTEST_OFF_CLOCK = 15


@dataclass(frozen=True)
class TimedSet:
    """What a hold (``still``) or an interval is to be."""

    seconds: int
    announced: bool
    still: bool
    position: str
    mistake: str | None = None
    side: str | None = None
    range: str | None = None
    round: int | None = None


def keep_time(stage: Stage, habits: Habits, one: TimedSet) -> int:
    """Write a timed set onto the stage, from its ``>`` to its ``<``; return the seconds that it took."""
    rng = stage.rng
    lasts = float(one.seconds)
    off_clock = one.mistake in {"hold-off-clock", "interval-off-clock"}
    if off_clock:
        share = rng.uniform(*(TOO_LONG if rng.random() < 0.7 else TOO_SHORT))
        lasts = float(round(one.seconds * share))
    start = round(stage.clock + rng.uniform(*habits.pause), 1)
    end = start + lasts
    opening = stage.write(stage.phrase("start_hold" if one.still else "start_interval"))
    lines = [Line(start, start + stage.duration(opening), opening)]
    down = _final_count(stage, one, lasts)
    calls: list[Line] = []
    if down:
        calls += _spread(stage, [tag("hold" if one.still else "clock", n) for n in range(down, 0, -1)], end)
        if one.mistake == "hold-off-clock":
            calls = [Line(c.start, c.end, c.tokens, firm=True) for c in calls]
    else:
        tokens = stage.write(stage.phrase("close_clock"))
        calls.append(Line(end - stage.duration(tokens), end, tokens))
    if not off_clock:
        last = calls[0].start
        calls += _clock_calls(stage, habits, one, start, last)
    marks: dict[int, str] = {}
    if one.mistake == "halfway-off":
        at = start + lasts * (rng.uniform(0.7, 0.76) if rng.random() < 0.75 else rng.uniform(0.22, 0.28))
        line = _call(stage, "half_clock", at, {})
        calls = [c for c in calls if c.end < line.start - 0.1 or c.start > line.end + 0.1]
        calls.append(Line(line.start, line.end, line.tokens, firm=True))
        marks[id(calls[-1])] = f"! halfway-off called at {in_words(round(at - start))} of {in_words(one.seconds)}"
    for call in sorted(calls, key=lambda call: call.start):
        if call.start > lines[-1].end + 0.05:
            lines.append(call)
    keys = {
        "unit": "seconds",
        "target": one.seconds if one.announced else None,
        "performed": round(lasts),
        "side": one.side,
        "range": one.range,
        "round": one.round,
    }
    stage.mark("> set " + " ".join(f"{key}={value}" for key, value in keys.items() if value is not None))
    for line in fill_gaps(stage, habits, lines, one.position, clock=True):
        if id(line) in marks:
            stage.mark(marks[id(line)])
        stage.put(line)
    stage.mark("<")
    if off_clock:
        stage.mark(f"! {one.mistake} {in_words(one.seconds)} announced, about {in_words(round(lasts))} taken")
    return round(lasts)


def breathe(stage: Stage, habits: Habits, breaths: int, side: str | None, position: str) -> None:
    """Write a stretch that is held for a number of breaths, from its ``>`` to its ``<``."""
    rng = stage.rng
    stage.mark(f"> set unit=seconds performed=?{f' side={side}' if side else ''}")
    at = round(stage.clock + rng.uniform(*habits.pause), 1)
    length = rng.uniform(4.5, 6.5)
    opening = stage.write(stage.phrase("stretch"))
    lines = [Line(at, at + stage.duration(opening), opening)]
    for breath in range(1, breaths + 1):
        when = at + breath * length + rng.uniform(-0.3, 0.3)
        if breath < breaths and rng.random() < habits.called:
            lines.append(_call(stage, "breath_call", when, {"n": breath}))
        elif breath == breaths - 1:
            lines.append(_call(stage, "breath_last", when, {}))
    lines.append(_call(stage, "close_clock", at + (breaths + 0.4) * length, {}))
    for line in fill_gaps(stage, habits, lines, position, clock=True):
        stage.put(line)
    stage.mark("<")


def _final_count(stage: Stage, one: TimedSet, lasts: float) -> int:
    """Return from how many the last seconds are counted down, 0 where they are not."""
    if one.still and one.seconds <= 10 and stage.rng.random() < 0.4:
        return min(one.seconds - 2, round(lasts) - 2)
    return stage.rng.choice([n for n in (0, 3, 3, 3, 5, 5, 10) if n <= lasts - 6] or [0])


def _spread(stage: Stage, words: list[str], end: float) -> list[Line]:
    """Return lines of up to five counted seconds that end at ``end``, a second for each word."""
    out: list[Line] = []
    first = len(words) % 5 or 5
    cuts = [0, *range(first, len(words) + 1, 5)]
    for a, b in pairwise(cuts):
        tokens = stage.write(", ".join(words[a:b]))
        out.append(Line(end - (len(words) - a), end - (len(words) - b) - 0.1, tokens))
    return out


def _clock_calls(stage: Stage, habits: Habits, one: TimedSet, start: float, last: float) -> list[Line]:
    rng = stage.rng
    out = []
    if one.seconds >= 16 and rng.random() < habits.half and one.mistake != "halfway-off":
        out.append(_call(stage, "half_clock", start + one.seconds / 2, {}))
    for left in (30, 20, 15, 10, 5):
        if left <= one.seconds - 6 and rng.random() < habits.clock * (0.7 if left == 10 else 0.3):
            out.append(_call(stage, "clock_left", start + one.seconds - left, {"n": left}))
    if one.seconds >= 30 and rng.random() < 0.2 * habits.clock:
        out.append(_call(stage, "clock_passed", start + 10, {"n": 10}))
    kept: list[Line] = []
    for line in sorted(out, key=lambda line: line.start):
        if line.end < last - 0.1 and (not kept or line.start > kept[-1].end + 0.2):
            kept.append(line)
    return kept


def _call(stage: Stage, act: str, at: float, slots: dict[str, str | int]) -> Line:
    tokens = stage.write(stage.phrase(act, **slots))
    return Line(at, at + stage.duration(tokens), tokens)
