"""Count-ins: "three, two, one" before the start opens a set; what stands before it is no part of the set.

A count-in sounds like the last seconds of a hold. Which it is shows in what comes next: a set that begins, or
one that has just gone by.
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
        if at + 1 >= len(out) or not _counts_down(mentions, at, numbers):
            continue
        if mentions.utterances[at + 1].start - mentions.utterances[at].end > SOON:
            continue
        sure = all(new_roles[i] == "countin" for i in numbers)
        span = next((s for s in work_spans(out) if s[0] <= at < s[1]), None)
        fresh = span is None or not any(new_roles[i] in _COUNTED for k in range(span[0], at) for i in said.get(k, []))
        go = _says_go(mentions, at + 1)
        if fresh and (sure or go or out[at + 1] == "begin"):
            for i in numbers:
                new_roles[i] = "countin"
            if span is not None:
                out[span[0] : at + 1] = ["setup"] * (at + 1 - span[0])
            if out[at + 1] in _OPEN and (go or span is None):
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
