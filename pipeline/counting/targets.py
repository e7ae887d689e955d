"""Targets: which announced number a set was to reach.

An announcement is said before its set, or in one breath for several ("ten full ones, then ten pulses"), or once
for both sides, or once for a whole block of intervals; it may be withdrawn ("fifteen, no, make it twelve").
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median

from pipeline.mentions.hear import Mentions
from pipeline.mentions.numbers import NumberMention

#: Two announcements further apart than this many seconds are not about the same set in one breath.
ONE_BREATH = 6.0
#: A number this close (words) before "seconds" is in seconds.
NEAR = 2
#: "Each" is at most this many words before how long a rep takes.
EACH_REACH = 5
_SIDED = frozenset("side leg arm hand foot way hip direction".split())
#: "Forty on, twenty off" has its "off" at most this many words after the first number.
ON_AND_OFF = 5
_JOINERS = frozenset({"then", "and", "plus", "followed", "switch", "low", "high"})
_IN_SECONDS = re.compile(r"^\d+s(ecs?)?$|^\d+secs?$")
_REPS = frozenset({"rep", "reps", "repetition", "repetitions", "of"})
_TOTALS = frozenset({"total", "all", "altogether"})


@dataclass(frozen=True, slots=True)
class Announcement:
    """A target as announced: ``unit`` is ``"reps"``, ``"seconds"`` or ``None`` where not said."""

    value: int
    unit: str | None
    each_side: bool
    index: int
    time: float


def unit_of(mentions: Mentions, one: NumberMention) -> str | None:
    """Return the unit that a number was said with, if any: ``"seconds"``, ``"breaths"`` or ``"reps"``."""
    signs, tokens = mentions.signs_at, mentions.tokens
    stop = one.words[1]
    if _IN_SECONDS.match(tokens[stop - 1]):
        return "seconds"
    last = mentions.utterance_of[stop - 1]
    for k in range(stop, min(stop + NEAR, len(tokens))):
        for unit in ("breaths", "seconds"):
            if unit in signs[k] and (unit != "breaths" or mentions.utterance_of[k] == last):
                return unit
    if stop < len(tokens) and "minutes" in signs[stop]:
        return "minutes"
    if tokens[stop : stop + 1] == ("on",) and "off" in tokens[stop + 1 : stop + ON_AND_OFF]:
        return "seconds"
    if any("reps" in signs[k] and tokens[k] in _REPS for k in range(stop, min(stop + 3, len(tokens)))):
        return "reps"
    return None


def announcements(mentions: Mentions, indices: Sequence[int]) -> list[Announcement]:
    """Turn the numbers of role target at ``indices`` into announcements that stand, withdrawn ones left out."""
    standing: list[Announcement] = []
    for i in indices:
        one = mentions.numbers[i]
        if (
            _denied(mentions, one)
            or lasts_each(mentions, one)
            or "share" in mentions.signs_at[min(one.words[1], len(mentions.tokens) - 1)]
        ):
            continue
        unit = unit_of(mentions, one)
        value = int(one.value) * (60 if unit == "minutes" else 1)
        each = any(
            "each" in mentions.signs_at[k] for k in range(one.words[1], min(one.words[1] + 4, len(mentions.tokens)))
        )
        new = Announcement(value, "seconds" if unit in {"minutes", "seconds"} else unit, each, i, one.time)
        if standing:
            last = standing[-1]
            if _is_share_of(mentions, last, new):
                continue
            if _replaces(mentions, last, new):
                standing.pop()
                if new.unit is None and last.unit is not None:
                    new = Announcement(new.value, last.unit, new.each_side or last.each_side, i, new.time)
        standing.append(new)
    return standing


def _denied(mentions: Mentions, one: NumberMention) -> bool:
    """Tell whether a number is the one that it is not to be: "up to ten now, not twelve"."""
    first = one.words[0]
    return mentions.tokens[max(0, first - 1) : first] == ("not",)


def lasts_each(mentions: Mentions, one: NumberMention) -> bool:
    """Tell whether a number says how long each rep takes: "pause each one for four", "hold each for three"."""
    first = mentions.utterances[mentions.utterance_of[one.words[0]]].first
    before = mentions.tokens[max(first, one.words[0] - EACH_REACH) : one.words[0]]
    if "each" not in before or "for" not in before:
        return False
    return not _SIDED & set(before[before.index("each") :])


def _replaces(mentions: Mentions, last: Announcement, new: Announcement) -> bool:
    numbers = mentions.numbers
    first, stop = numbers[last.index].words[1], numbers[new.index].words[0]
    between = mentions.tokens[first:stop]
    withdrawn = any("withdraw" in mentions.signs_at[k] for k in range(first, stop))
    if withdrawn or "but" in between:
        return True
    if new.time - last.time <= ONE_BREATH and (_JOINERS & set(between) or len(between) <= 3):
        return False
    return mentions.utterance_of[first - 1] != mentions.utterance_of[stop]


def _is_share_of(mentions: Mentions, last: Announcement, new: Announcement) -> bool:
    """Tell whether "sixteen in all, that's eight on each leg": the second only says how the first divides."""
    if last.value != 2 * new.value:
        return False
    numbers = mentions.numbers
    between = mentions.tokens[numbers[last.index].words[1] : numbers[new.index].words[0]]
    return bool(_TOTALS & set(between))


#: How likely a set comes out: just as announced, one off, or otherwise; and at any one number with none announced.
AS_ANNOUNCED, ONE_OFF, OTHERWISE, UNANNOUNCED = 0.85, 0.06, 0.015, 0.1
#: What a target that was announced for the other side, or with this one in one breath, is worth before counting.
FOR_BOTH_SIDES, WAITING = 0.3, 0.7
#: A number that was hardly read as a target is not considered as one.
LEAST_CHANCE = 0.08


def choose_target(
    choices: Sequence[tuple[Announcement, float]], outcome: Callable[[int | None], tuple[int | None, bool]]
) -> Announcement | None:
    """Choose the announcement that best explains how a set of reps came out; ``None`` for no announcement.

    ``choices`` carry each announcement's own chance (0 to 1). ``outcome(target)`` counts the set under a target
    and returns what was done and whether the calls say so by themselves.
    """
    nobody = 1.0
    best: tuple[float, Announcement | None] = (0.0, None)
    for one, chance in choices:
        nobody *= 1.0 - min(chance, 0.98)
        done, known = outcome(one.value)
        if done is None or not known:
            fit = 0.5
        elif done == one.value:
            fit = AS_ANNOUNCED
        else:
            fit = ONE_OFF if abs(done - one.value) == 1 else OTHERWISE
        if chance * fit > best[0]:
            best = (chance * fit, one)
    return best[1] if best[0] >= nobody * UNANNOUNCED else None


def choose_interval(sure: Sequence[int], said: Sequence[int], length: float, around: Sequence[float]) -> int | None:
    """Choose which announced number of seconds a timed set works to.

    ``sure`` are the announced intervals and ``said`` all seconds said (rests too), in order of time; ``length``
    is the set's own and ``around`` those of the timed sets near it, in seconds. A set that takes just an
    announced time works to it; otherwise it works to what the sets around it work to.
    """
    usual = median(around) if around else length
    for numbers in (sure, said):
        for wanted in (length, usual):
            fits = [value for value in numbers if abs(value - wanted) <= INTERVAL_NEAR * value]
            if fits:
                return min(reversed(fits), key=lambda value: abs(value - wanted) / value)
    return None


#: A timed set, or the usual one of those around it, works to an announced interval that is at most this share off.
INTERVAL_NEAR = 0.12
