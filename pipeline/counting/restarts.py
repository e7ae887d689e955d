"""Restarts: a working stretch in which the count begins anew is two sets, whatever the talk between them.

Ladders and supersets change over in half a sentence ("four. And four of those half burpees. One …"). Where a
count starts again although its number was reached, or another number is announced in between, the stretch is
cut there.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from statistics import median

from pipeline.counting.calls import fits_pace
from pipeline.counting.spans import work_spans
from pipeline.mentions.hear import Mentions

#: A count starts again at this number or lower.
FRESH = 2
#: A set goes on to a number at most this many reps further, at most this many utterances later.
FAR, REACH = 4, 2
#: A countdown from the number just reached is a new set only from this number on: "and six. Six, five, four …".
WHOLE_SET = 5
#: Counting in eights goes on over "eight, one" where the clock fits.
EIGHT = 8
#: Two stretches of one count may have this many utterances of talk between them, if the next number comes when it
#: is due within this share of its steps.
TALK, DUE = 2, 0.3
_OPEN = frozenset({"after", "setup"})
_NEW_SET = frozenset({"switch", "rounds"})
#: An exercise named this surely between two counts is a new chapter.
NAMED = 0.3


def cut_restarts(mentions: Mentions, roles: Sequence[str], phases: Sequence[str]) -> tuple[str, ...]:
    """Return the phases with stretches cut where a count starts again."""
    out = _join(mentions, roles, _extend(mentions, roles, list(phases)))
    out = _frame(mentions, roles, _trim(mentions, roles, out))
    before = 0
    for first, stop in work_spans(out):
        calls = _calls_in(mentions, roles, first, stop)
        targets = [
            i
            for i, one in enumerate(mentions.numbers)
            if before <= mentions.utterance_of[one.words[0]] < stop and roles[i] == "target"
        ]
        since = 0
        for k in range(1, len(calls)):
            if _starts_again(mentions, roles, calls[since:k], calls[k], targets):
                _cut(mentions, out, calls[k - 1], calls[k], roles)
                since = k
        before = stop
    return tuple(out)


def _calls_in(mentions: Mentions, roles: Sequence[str], first: int, stop: int) -> list[int]:
    return [
        i
        for i, one in enumerate(mentions.numbers)
        if first <= mentions.utterance_of[one.words[0]] < stop and roles[i] in {"rep", "left"}
    ]


def _pace(mentions: Mentions, reps: Sequence[int]) -> float | None:
    steps = _steps(mentions, reps)
    return median(steps) if steps else None


def _steps(mentions: Mentions, reps: Sequence[int]) -> list[float]:
    """Return how many seconds a rep each call came after the one before it."""
    numbers = mentions.numbers
    return [
        (numbers[b].time - numbers[a].time) / (numbers[b].value - numbers[a].value)
        for a, b in pairwise(reps)
        if numbers[b].value > numbers[a].value
    ]


def _extend(mentions: Mentions, roles: Sequence[str], phases: list[str]) -> list[str]:
    """Let a set go on to the next number of its count, where that was taken for talk after it."""
    numbers = mentions.numbers
    coarse = mentions.transcript.source.timing == "coarse"
    for first, stop in work_spans(phases):
        reps = [i for i in _calls_in(mentions, roles, first, stop) if roles[i] == "rep"]
        pace = _pace(mentions, reps)
        if pace is None:
            continue
        last = numbers[reps[-1]]
        for i in range(reps[-1] + 1, len(numbers)):
            one = numbers[i]
            at = mentions.utterance_of[one.words[0]]
            if at >= stop + REACH * (1 + coarse) or (not coarse and one.time - last.time > FAR * pace + 1.0):
                break
            step = one.value - last.value
            if at < stop or roles[i] not in {"rep", "target"} or not 1 <= step <= FAR:
                continue
            fits = coarse or abs((one.time - last.time) / pace - step) <= 0.25 * step + 0.15
            if fits and all(phases[k] in {"after", "setup"} for k in range(stop, at + 1)):
                phases[stop : at + 1] = ["work"] * (at + 1 - stop)
                break
    return phases


def _join(mentions: Mentions, roles: Sequence[str], phases: list[str]) -> list[str]:
    """Join two stretches where the second one, at once or after a few words, only goes on counting."""
    spans = work_spans(phases)
    for (first, stop), (again, end) in pairwise(spans):
        if again - stop > TALK or any(phases[k] not in _OPEN for k in range(stop, again)):
            continue
        before, after = _calls_in(mentions, roles, first, stop), _calls_in(mentions, roles, again, end)
        if not before or not after:
            continue
        if any(roles[i] in {"target", "countin", "rounds"} for i in range(before[-1] + 1, after[0])):
            continue
        talk = range(mentions.utterances[stop - 1].stop, mentions.utterances[again].first)
        if any(_NEW_SET & mentions.signs_at[k] for k in talk):
            continue
        if _goes_on(mentions, roles, before, after[0], again > stop):
            phases[stop : again + 1] = ["work"] * (again + 1 - stop)
    return phases


def _goes_on(mentions: Mentions, roles: Sequence[str], before: Sequence[int], b: int, closely: bool) -> bool:
    """Tell whether call ``b`` goes on with the count ``before`` it; ``closely`` asks that it falls when it is due."""
    numbers, a = mentions.numbers, before[-1]
    coarse = mentions.transcript.source.timing == "coarse"
    reps = [i for i in before if roles[i] == "rep"]
    pace = _pace(mentions, reps)
    step = numbers[b].value - numbers[a].value
    elapsed = numbers[b].time - numbers[a].time
    both = roles[a] == roles[b] == "rep"
    if both and numbers[b].value <= FRESH:
        return not coarse and pace is not None and len(reps) > 2 and _in_eights(mentions, before, b, roles)
    if both and 1 <= step <= FAR:
        due = step
    elif (
        roles[b] == "left" and numbers[b].value <= 4 and numbers[a].value > FRESH and (roles[a] == "rep" or step == -1)
    ):
        due = 1
    else:
        return False
    if closely:
        return not coarse and pace is not None and abs(elapsed / pace - due) <= DUE * due
    return coarse or pace is None or elapsed <= (FAR + 1) * pace


def _trim(mentions: Mentions, roles: Sequence[str], phases: list[str]) -> list[str]:
    """End a timed set where its seconds were counted down to one: what is said after that is no part of it."""
    numbers = mentions.numbers
    for first, stop in work_spans(phases):
        inside = [i for i, one in enumerate(numbers) if first <= mentions.utterance_of[one.words[0]] < stop]
        if any(roles[i] in {"rep", "left"} for i in inside):
            continue
        seconds = [i for i in inside if roles[i] in {"hold", "clock"}]
        for before, now in pairwise(seconds):
            if numbers[now].value == 1 and numbers[before].value == 2:
                end = mentions.utterance_of[numbers[now].words[0]] + 1
                if end < stop and not any(roles[i] == "hold" for i in seconds if i > now):
                    phases[end:stop] = ["after"] * (stop - end)
                break
    return phases


def _frame(mentions: Mentions, roles: Sequence[str], phases: list[str]) -> list[str]:
    """Where all the seconds announced for a hold are counted aloud, the hold is just as long as their count."""
    numbers = mentions.numbers
    before = 0
    for first, stop in work_spans(phases):
        inside = [i for i, one in enumerate(numbers) if first <= mentions.utterance_of[one.words[0]] < stop]
        seconds = [i for i in inside if roles[i] == "hold"]
        target = next(
            (
                int(one.value)
                for i, one in reversed(list(enumerate(numbers[: seconds[0]] if seconds else ())))
                if roles[i] == "target" and before <= mentions.utterance_of[one.words[0]]
            ),
            None,
        )
        before = stop
        if target is None or any(roles[i] in {"rep", "left"} for i in inside):
            continue
        ends = (int(numbers[seconds[0]].value), int(numbers[seconds[-1]].value))
        if len(seconds) < max(3, target // 2):
            continue
        begin, end = (mentions.utterance_of[numbers[i].words[0]] for i in (seconds[0], seconds[-1]))
        if ends in {(1, target), (target, 1)}:
            phases[first:begin] = ["setup"] * (begin - first)
            phases[begin] = "begin"
        if ends[1] == target or ends == (target, 1):
            phases[end + 1 : stop] = ["after"] * (stop - end - 1)
    return phases


def _starts_again(
    mentions: Mentions, roles: Sequence[str], before: Sequence[int], call: int, targets: Sequence[int]
) -> bool:
    """Tell whether number ``call`` starts a new count; ``before`` are the calls of the one so far, in order."""
    numbers = mentions.numbers
    last, now = numbers[before[-1]], numbers[call]
    if mentions.utterance_of[last.words[0]] == mentions.utterance_of[now.words[0]]:
        return False
    announced = any(before[-1] < t < call for t in targets)
    reached = any(t < before[0] and numbers[t].value == last.value for t in targets)
    same_kind = roles[before[-1]] == roles[call]
    if roles[call] == "left":
        counted_down = any(roles[i] == "left" and numbers[i].value == 1 for i in before)
        if same_kind or counted_down:
            return counted_down and now.value > FRESH + 1
        return now.value >= last.value >= 3 and (announced or (now.value == last.value and now.value >= WHOLE_SET))
    if now.value > FRESH or (same_kind and now.value >= last.value):
        return False
    if roles[before[-1]] == "left":
        return announced or last.value == 1
    return announced or reached or not _in_eights(mentions, before, call, roles)


def _in_eights(mentions: Mentions, before: Sequence[int], call: int, roles: Sequence[str]) -> bool:
    numbers = mentions.numbers
    reps = [i for i in before if roles[i] == "rep"]
    last = numbers[reps[-1]]
    if any(numbers[i].value > EIGHT for i in reps) or last.value < EIGHT / 2:
        return False
    steps = _steps(mentions, reps)
    beats = EIGHT - last.value + numbers[call].value
    return not steps or fits_pace(numbers[call].time - last.time, beats, steps)


def _cut(mentions: Mentions, phases: list[str], last: int, call: int, roles: Sequence[str]) -> None:
    """Relabel the utterances between two calls: what follows the old set, what sets up the new one."""
    after = mentions.utterance_of[mentions.numbers[last].words[0]] + 1
    begins = mentions.utterance_of[mentions.numbers[call].words[0]]
    telling = [
        mentions.utterance_of[one.words[0]]
        for i, one in enumerate(mentions.numbers)
        if roles[i] in {"target", "rounds"} and after <= mentions.utterance_of[one.words[0]] < begins
    ]
    named = [
        at
        for one in mentions.exercises
        if one.doing >= NAMED and after <= (at := mentions.utterance_of[one.words[0]]) < begins
    ]
    fresh = max([*telling, *named], default=after - 1) + 1
    for at in range(after, fresh):
        phases[at] = "setup" if named and at > min(named) else "after"
    if named:
        phases[min(named)] = "turn"
    phases[min(fresh, begins)] = "begin"
