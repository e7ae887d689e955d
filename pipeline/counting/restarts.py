"""Restarts: a working stretch in which the count begins anew is two sets, whatever the talk between them.

Ladders and supersets change over in half a sentence ("four. And four of those half burpees. One …"). Where a
count starts again although its number was reached, or another number is announced in between, the stretch is
cut there.
"""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.counting.spans import work_spans
from pipeline.mentions.hear import Mentions

#: A count starts again at this number or lower.
FRESH = 2
#: Counting in eights goes on over "eight, one" where the clock fits within this share of the beats between.
EIGHT, EIGHTS_FIT = 8, 0.4
#: An exercise named this surely between two counts is a new chapter.
NAMED = 0.3


def cut_restarts(mentions: Mentions, roles: Sequence[str], phases: Sequence[str]) -> tuple[str, ...]:
    """Return the phases with stretches cut where a count starts again."""
    out = list(phases)
    for first, stop in work_spans(phases):
        calls = [
            i
            for i, one in enumerate(mentions.numbers)
            if first <= mentions.utterance_of[one.words[0]] < stop and roles[i] in {"rep", "left"}
        ]
        targets = [
            i
            for i, one in enumerate(mentions.numbers)
            if first <= mentions.utterance_of[one.words[0]] < stop and roles[i] == "target"
        ]
        for k in range(1, len(calls)):
            if _starts_again(mentions, roles, calls[:k], calls[k], targets):
                _cut(mentions, out, calls[k - 1], calls[k], roles)
    return tuple(out)


def _starts_again(
    mentions: Mentions, roles: Sequence[str], before: Sequence[int], call: int, targets: Sequence[int]
) -> bool:
    numbers = mentions.numbers
    last, now = numbers[before[-1]], numbers[call]
    announced = any(before[-1] < t < call for t in targets)
    same_kind = roles[before[-1]] == roles[call]
    if mentions.utterance_of[last.words[0]] == mentions.utterance_of[now.words[0]]:
        return False
    if roles[call] == "left":
        if same_kind:
            return last.value == 1 and now.value > FRESH + 1
        return now.value >= last.value >= 3 and (announced or now.value == last.value)
    if now.value > FRESH or (same_kind and now.value >= last.value):
        return False
    if roles[before[-1]] == "left":
        return announced or last.value == 1
    if last.value <= FRESH and not announced:
        return False
    return announced or not _in_eights(mentions, before, call, roles)


def _in_eights(mentions: Mentions, before: Sequence[int], call: int, roles: Sequence[str]) -> bool:
    numbers = mentions.numbers
    reps = [numbers[i] for i in before if roles[i] == "rep"]
    if any(one.value > EIGHT for one in reps):
        return False
    steps = [(b.time - a.time) / (b.value - a.value) for a, b in zip(reps, reps[1:], strict=False) if b.value > a.value]
    if not steps:
        return True
    pace = sorted(steps)[len(steps) // 2]
    beats = EIGHT - reps[-1].value + numbers[call].value
    return abs((numbers[call].time - reps[-1].time) / pace - beats) <= EIGHTS_FIT * beats + 0.5


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
