"""Settling: where a set does not add up, is it the presenter who erred, or the reading of a number?

Mistakes of presenters are rare. Before a set is taken to hold one, every doubtful number in it is tried in its
other likely roles; the reading stands that is best once what does not add up has its price.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import log
from statistics import fmean

from pipeline.counting.decode import Decoded, remains
from pipeline.counting.marks import JITTER
from pipeline.mentions.hear import Mentions
from pipeline.mentions.numbers import NumberMention

#: The price of one thing that does not add up, in the same coin as the logarithm of a role's chance.
PRICE = 1.8
#: How much the logarithm of a chance counts against that price.
TEMPER = 1.0
#: A role less likely (0 to 1) than this is not tried: then it is the presenter who erred.
LEAST_TRIED = 0.03
#: Roles that a number in a set of reps, or of seconds, can take.
COUNTED, TIMED = ("rep", "left", "other", "hold"), ("hold", "clock", "other")
_FORMS = frozenset({"word", "figure", "soundalike", "last", "more"})
#: All doubtful numbers of a set are tried at most so many times: what mends one may bring another into line.
#: (More have changed nothing in any annotated class.)
MOST_TRIALS = 3
#: A number taken for talk is a call only where that is this likely (0 to 1) at least: where it falls due, the count
#: itself speaks for it.
NOT_RULED_OUT = 0.05
#: It falls due within this share of the time since the call before, and this share of a pace: as far as a call may be
#: off (``marks.JITTER``).
DUE_WITHIN = JITTER
_TALK = frozenset({"other", "target"})
_SECONDS = frozenset({"hold", "clock"})
_CALLED = _SECONDS | {"rep", "left"}
_BEATS = frozenset({"hold", "tempo"})
#: What an announcement weighs against the mean chance of beats, as the logarithm of odds.
TOLD = 2.0
#: Seconds called one by one follow each other within this many seconds.
SECOND_BY_SECOND = 2.5


def settle_reps(
    decoded: Decoded, mentions: Mentions, numbers: Sequence[int], oddities: Callable[[Sequence[str]], float]
) -> tuple[str, ...]:
    """Return the roles of all numbers with those of one set of reps settled.

    ``numbers`` are the indices of the set's numbers; ``oddities(roles)`` weighs what does not add up under
    given roles.
    """
    roles = list(decoded.roles)
    odd = oddities(roles)
    if odd <= 0:
        return tuple(roles)
    open_ = [
        i for i in numbers if mentions.numbers[i].form in _FORMS and roles[i] in (*COUNTED, "none", "target", "countin")
    ]
    cost = PRICE * odd + sum(_cost(decoded, i, roles[i]) for i in open_)
    for _ in range(MOST_TRIALS):
        better = False
        for i in open_:
            kept = roles[i]
            for role in COUNTED:
                if role == kept or (role == "other" and kept == "none") or _chance(decoded, i, role) < LEAST_TRIED:
                    continue
                if role == "rep" and remains(mentions, mentions.numbers[i]):
                    continue
                roles[i] = role
                trial = PRICE * oddities(roles) + sum(_cost(decoded, j, roles[j]) for j in open_)
                if trial < cost - 1e-9:
                    cost, kept, better = trial, role, True
                roles[i] = kept
        if not better:
            break
    return tuple(roles)


def settle_seconds(decoded: Decoded, mentions: Mentions, numbers: Sequence[int], breaths: bool) -> tuple[str, ...]:
    """Return the roles of all numbers with those of one timed set settled: nothing in it is a rep.

    A stretch held for breaths has breath numbers, which are neither reps nor seconds.
    """
    roles = list(decoded.roles)
    slowly = set() if breaths else set(_slow_seconds(decoded, mentions, numbers))
    for i in numbers:
        if breaths and roles[i] in {"rep", "left", "target", "hold", "rounds"}:
            roles[i] = "other"
        elif i in slowly:
            roles[i] = "hold"
        elif roles[i] in {"rep", "left"}:
            roles[i] = max(TIMED[:2] if roles[i] == "left" else TIMED, key=lambda role: _chance(decoded, i, role))
    return tuple(roles)


def _slow_seconds(decoded: Decoded, mentions: Mentions, numbers: Sequence[int]) -> list[int]:
    """Return which numbers of a timed set, read as reps, are seconds counted up one by one, however slowly."""
    calls = [i for i in numbers if decoded.roles[i] in _CALLED and mentions.numbers[i].form in _FORMS]
    out = set()
    for a, b in pairwise(calls):
        one, other = mentions.numbers[a], mentions.numbers[b]
        if other.value == one.value + 1 and other.time - one.time <= SECOND_BY_SECOND:
            out |= {a, b}
    return [i for i in calls if i in out and decoded.roles[i] not in _SECONDS]


def settle_beats(decoded: Decoded, numbers: Sequence[int], parts: int) -> tuple[str, ...]:
    """Return the roles of all numbers with the beats counted aloud in one set of reps settled alike.

    Beats of a tempo and seconds of a slow lowering sound the same. ``parts`` is how many numbers of a tempo were
    announced: two or more ("three down, one up") make it a tempo, a single one ("four seconds to lower") seconds
    counted.
    """
    beats = [i for i in numbers if decoded.roles[i] in _BEATS]
    if not beats:
        return decoded.roles
    lean = fmean(_odds(decoded, i, "tempo", "hold") for i in beats)
    lean += TOLD * ((parts >= 2) - (parts == 1))
    roles = list(decoded.roles)
    for i in beats:
        roles[i] = "tempo" if lean > 0 else "hold"
    return tuple(roles)


def settle_pulses(decoded: Decoded, mentions: Mentions, numbers: Sequence[int]) -> tuple[str, ...]:
    """Return the roles with the beats of a set of pulses settled: each is a rep, counted up or down, no second."""
    roles = list(decoded.roles)
    beats = [i for i in numbers if roles[i] in _CALLED and mentions.numbers[i].form in _FORMS]
    values = [mentions.numbers[i].value for i in beats]
    for k, i in enumerate(beats):
        if roles[i] in _SECONDS:
            falls = values[k + 1] == values[k] - 1 if k + 1 < len(beats) else k > 0 and values[k - 1] == values[k] + 1
            roles[i] = "left" if falls else "rep"
    return tuple(roles)


def settle_countdown(
    decoded: Decoded, mentions: Mentions, numbers: Sequence[int], pace: float | None
) -> tuple[str, ...]:
    """Return the roles with the first call of a set read like the rest, where all that follows counts down from it.

    "Twelve … ten, nine, eight" is one countdown; nobody calls the twelfth rep first. ``numbers`` are the indices of
    the set's numbers, ``pace`` its seconds a rep.
    """
    calls = [i for i in numbers if decoded.roles[i] in {"rep", "left"} and mentions.numbers[i].form in _FORMS]
    if pace is None or len(calls) < 3 or decoded.roles[calls[0]] != "rep":
        return decoded.roles
    first, *rest = (mentions.numbers[i] for i in calls)
    falls = all(a.value > b.value for a, b in pairwise([first, *rest]))
    if not falls or any(decoded.roles[i] != "left" for i in calls[1:]) or not _due(first, rest[0], pace, -1):
        return decoded.roles
    roles = list(decoded.roles)
    roles[calls[0]] = "left"
    return tuple(roles)


def fill_in(decoded: Decoded, mentions: Mentions, numbers: Sequence[int], pace: float | None) -> tuple[str, ...]:
    """Return the roles with each number of a set read as a call that is just the one due, at the time it is due.

    ``numbers`` are the indices of the set's numbers, ``pace`` its seconds a rep. A call that was taken for talk
    fits the count, up or down, on both sides: in its number and on the clock.
    """
    if pace is None or mentions.transcript.source.timing == "coarse":
        return decoded.roles
    roles = list(decoded.roles)
    for i in numbers:
        one = mentions.numbers[i]
        if any("withdraw" in signs for signs in mentions.signs_at[one.words[1] : one.words[1] + 2]):
            continue
        if one.form not in _FORMS:
            continue
        for role, way in (("rep", 1), ("left", -1)):
            if roles[i] not in _TALK or _chance(decoded, i, role) < NOT_RULED_OUT:
                continue
            calls = [mentions.numbers[j] for j in numbers if roles[j] == role]
            before = [call for call in calls if call.time < one.time][-1:]
            after = [call for call in calls if call.time > one.time][:1]
            if (before or after) and all(_due(call, one, pace, way) for call in (*before, *after)):
                roles[i] = role
    return tuple(roles)


def _due(call: NumberMention, one: NumberMention, pace: float, way: int) -> bool:
    """Tell whether a number is as many reps from a call as the clock says, in a count up (``way`` 1) or down (-1)."""
    step, elapsed = way * (one.value - call.value), (one.time - call.time) / pace
    return step * elapsed > 0 and abs(elapsed - step) <= DUE_WITHIN * abs(step) + DUE_WITHIN


def counted_aloud(decoded: Decoded, mentions: Mentions, numbers: Sequence[int], least: int = 3) -> list[int]:
    """Return which numbers of one timed set are seconds counted one by one: ``least`` or more that step by one."""
    runs: list[list[int]] = [[]]
    for i in numbers:
        if decoded.roles[i] not in _SECONDS:
            continue
        last = mentions.numbers[runs[-1][-1]] if runs[-1] else None
        one = mentions.numbers[i]
        if last is None or abs(one.value - last.value) != 1 or one.time - last.time > SECOND_BY_SECOND:
            runs.append([])
        runs[-1].append(i)
    return [i for run in runs if len(run) >= least for i in run]


def counted_down_aloud(decoded: Decoded, mentions: Mentions, numbers: Sequence[int]) -> list[int]:
    """Return which numbers of one timed set are seconds counted down one by one, as its last ones often are."""
    aloud = counted_aloud(decoded, mentions, numbers)
    value = {i: mentions.numbers[i].value for i in aloud}
    return [i for i in aloud if value.get(i + 1) == value[i] - 1 or value.get(i - 1) == value[i] + 1]


def _chance(decoded: Decoded, i: int, role: str) -> float:
    return float(decoded.role_chances[i, decoded.labels.index(role)])


def _odds(decoded: Decoded, i: int, role: str, other: str) -> float:
    """Return the logarithm of how much likelier a number is in one role than in another, both at least tried."""
    return log(max(LEAST_TRIED, _chance(decoded, i, role)) / max(LEAST_TRIED, _chance(decoded, i, other)))


def _cost(decoded: Decoded, i: int, role: str) -> float:
    return -TEMPER * log(max(1e-6, _chance(decoded, i, role)))
