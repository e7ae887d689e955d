"""Count-ins: "three, two, one" before the start opens a set; what stands before it is no part of the set.

A count-in sounds like the last seconds of a hold. Which it is shows in what comes next: a set that begins, or
one that has just gone by. To music one is counted in on the last beats of a bar, "five, six, seven, eight" (common
practice, no source), which sounds like the end of eight reps; where nothing was counted before it, it is none.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from pipeline.counting.spans import work_spans
from pipeline.mentions.hear import Mentions

#: A set starts at most this many seconds after its count-in, and a timed one ends at most this much later.
SOON, LONGEST = 4.0, 90.0
#: A count-in has at most this many words besides its numbers ("and in three, two, one, go").
OTHER_WORDS = 3
#: A bar counted in ends on this beat; the call after it is one of the first reps, or none comes for this long (s).
LAST_BEAT, FIRST_CALLS, UNCOUNTED = 8, 4, 20.0
_COUNTED = frozenset({"rep", "left", "clock", "hold", "half", "tempo"})
_OPEN = frozenset({"after", "setup"})


def open_with_count_ins(
    mentions: Mentions, roles: Sequence[str], phases: Sequence[str]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return roles and phases with each count-in read as one, and the set after it opened."""
    said: dict[int, list[int]] = {}
    for i, one in enumerate(mentions.numbers):
        said.setdefault(mentions.utterance_of[one.words[0]], []).append(i)
    new_roles, out = list(roles), list(phases)
    for at, numbers in sorted(said.items()):
        if at + 1 >= len(out):
            continue
        on_the_beat = _counts_up_to_eight(mentions, at, numbers) and _starts_small(mentions, roles, numbers[-1])
        if not on_the_beat and not _counts_down(mentions, at, numbers):
            continue
        if mentions.utterances[at + 1].start - mentions.utterances[at].end > SOON:
            continue
        sure = all(new_roles[i] == "countin" for i in numbers)
        span = next((s for s in work_spans(out) if s[0] <= at < s[1]), None)
        fresh = span is None or not any(new_roles[i] in _COUNTED for k in range(span[0], at) for i in said.get(k, []))
        go = _says_go(mentions, at + 1)
        opens = out[at + 1] == "begin" or (on_the_beat and (span is None or span[0] == at))
        if fresh and (sure or go or opens):
            for i in numbers:
                new_roles[i] = "countin"
            if span is not None:
                out[span[0] : at + 1] = ["setup"] * (at + 1 - span[0])
            if out[at + 1] in _OPEN and (go or span is None) and not on_the_beat:
                _open_timed_set(mentions, said, new_roles, out, at + 1)
            elif span is not None:
                out[at + 1] = "begin"
    return tuple(new_roles), tuple(out)


def _says_go(mentions: Mentions, at: int) -> bool:
    """Tell whether an utterance starts with a start: "go", "and go"."""
    first = mentions.utterances[at].first
    return "go" in mentions.tokens[first : first + 2]


def _counts_down(mentions: Mentions, at: int, numbers: Sequence[int]) -> bool:
    """Tell whether an utterance is little else than a countdown to one."""
    values = [mentions.numbers[i].value for i in numbers]
    utterance = mentions.utterances[at]
    others = utterance.stop - utterance.first - len(numbers)
    falling = all(a - b == 1 for a, b in pairwise(values))
    return len(values) >= 2 and falling and values[-1] == 1 and values[0] <= 5 and others <= OTHER_WORDS


def _counts_up_to_eight(mentions: Mentions, at: int, numbers: Sequence[int]) -> bool:
    """Tell whether an utterance is little else than the last beats of a bar of eight, three of them or more."""
    values = [mentions.numbers[i].value for i in numbers]
    utterance = mentions.utterances[at]
    others = utterance.stop - utterance.first - len(numbers)
    rising = all(b - a == 1 for a, b in pairwise(values))
    return 3 <= len(values) <= 4 and rising and values[-1] == LAST_BEAT and others <= OTHER_WORDS


def _starts_small(mentions: Mentions, roles: Sequence[str], last: int) -> bool:
    """Tell whether what is called next, if anything soon, is one of the first reps."""
    now = mentions.numbers[last].time
    coming = next((i for i in range(last + 1, len(roles)) if roles[i] in _COUNTED), None)
    if coming is None or mentions.numbers[coming].time - now > UNCOUNTED:
        return True
    return mentions.numbers[coming].value <= FIRST_CALLS


def _open_timed_set(
    mentions: Mentions, said: dict[int, list[int]], roles: Sequence[str], phases: list[str], first: int
) -> None:
    """Make a set of what follows a count-in up to its own last countdown, where talk was seen."""
    for at in range(first, len(phases)):
        late = mentions.utterances[at].end - mentions.utterances[first].start > LONGEST
        if late or phases[at] not in _OPEN or any(roles[i] in {"countin", "target"} for i in said.get(at, [])):
            return
        seconds = [i for i in said.get(at, []) if roles[i] in {"clock", "hold"}]
        if len(seconds) >= 2 and mentions.numbers[seconds[-1]].value == 1:
            phases[first : at + 1] = ["begin"] + ["work"] * (at - first)
            return
