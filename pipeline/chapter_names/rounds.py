"""Which exercise each chapter is about, decided over the whole class at once.

In a circuit the third time round the presenter may name nothing at all. What speaks for a return is what was
named or told in the chapter, words that it shares with earlier chapters of that exercise, what followed last
time round, and words such as "again" and "round two". A beam search keeps the likeliest readings of the class
so far, so that a later round may also put right what the first one left open.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.chapter_names.naming import Candidate, words_of
from pipeline.chapter_names.room import ChapterTalk
from pipeline.chapter_names.stems import stems_of
from pipeline.mentions.tokens import fold
from pipeline.chapter_names.told import GIVEN, ToldIndex

BEAM = 24
"""Readings kept at a time."""
# Judgement, fitted by eye on annotated classes, on the scale of a candidate's score.
UNNAMED_SCORE = 0.3
"""What a chapter scores that is about something of which nothing was understood."""
AGREES = 0.06
"""A return to what was named here, over a new exercise by that name."""
GENERIC, GENERIC_LIMB, GENERIC_LISTED = 0.95, 0.85, 0.8
"""What a bare word ("press"), or one with a limb ("one-arm press"), is worth for an earlier exercise whose name
holds it; what it is worth where only one of the other names does."""
FOLLOWS, PLANNED = 0.4, 0.25
"""It followed the exercise before last time; it was told that it would."""
ANNOUNCED_RETURN, ANNOUNCED_SAME = 0.16, 0.4
"""The chapter's first sentences say "back", "again", "round two"; they say "set two", "same again"."""
STAYS = -0.2
"""The exercise before goes on, where nothing says so."""
OTHER_NAMES = 0.5
"""What a word of its other names counts of one of its own."""
RIGHT_ROUND, WRONG_ROUND = 0.25, 0.1
""""Round two" is said, and the exercise was done once so far; it was done more or less often."""
LIKENESS, NAME_WORDS = 0.45, 0.4
"""Shared words (0 to 1) with the earlier chapters; words of its names said here (0 to 1)."""
NAMED_PLAINLY, LEAST_DOUBT = 0.95, 0.06
"""The better a chapter is named, the less do order and likeness count: what a score takes from 1, and the least."""
FORGETS = 0.02
"""A return to what was done long ago is less likely, by each exercise since."""

_RETURN = re.compile(
    r"\b(?:again|back to|back at|back on|once more|one more|same|another|last time|final time|repeat"
    r"|(?:round|lap|trip|visit|time|go|circuit) (?:two|three|four|five|six|seven|eight|[2-9]|for|to)"
    r"|(?:second|third|fourth|fifth|last|final|other) (?:round|time|trip|visit|lap|go|set|helping|one)|you know this)\b"
)
_CHANGED = re.compile(r"\bsame (?:\S+ )?but\b")
_SAME = re.compile(
    r"\b(?:set (?:two|three|four|five|[2-9]|to|for)|(?:second|third|fourth|last|final) (?:set|helping)|same (?:again|thing|one|move)"
    r"|new arm|other side|other arm|other leg|swap|switch)\b"
)


_ROUND = re.compile(r"\b(?:round|set|lap|visit|time|trip) (two|three|four|five|six|seven|eight|[2-9])\b|\b(second|third|fourth) round")
_NUMBERS = {
    "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "second": 2, "third": 3, "fourth": 4
}  # fmt: skip


def _round_number(head: str) -> int | None:
    found = _ROUND.search(head)
    if found is None:
        return None
    said = found[1] or found[2]
    return int(said) if said.isdigit() else _NUMBERS[said]


@dataclass(frozen=True)
class _Group:
    """The chapters of one exercise so far."""

    key: str
    exercise: str | None
    words: frozenset[str]
    stems: frozenset[str]
    chapters: tuple[int, ...]


@dataclass(frozen=True)
class _Reading:
    """A reading of the class so far: each chapter's group and candidate."""

    score: float
    labels: tuple[int, ...] = ()
    picks: tuple[Candidate | None, ...] = ()
    groups: tuple[_Group, ...] = ()


def read_rounds(
    talks: Sequence[ChapterTalk],
    heads: Sequence[str],
    candidates: Sequence[Sequence[Candidate]],
    index: ToldIndex,
) -> list[tuple[int, Candidate | None]]:
    """Return for each exercise chapter the number of its exercise, and the candidate that named it.

    ``heads`` are the first words of each chapter; a candidate ``None`` stands where nothing named it.
    """
    frame = _Frame(talks, heads, candidates, index)
    beam = [_Reading(0.0)]
    for c in range(len(talks)):
        grown = [step for reading in beam for step in frame.steps(reading, c)]
        grown.sort(key=lambda reading: -reading.score)
        beam = grown[:BEAM]
    best = beam[0]
    return list(zip(best.labels, best.picks, strict=True))


class _Frame:
    """What is known of the chapters, whatever the reading."""

    def __init__(
        self,
        talks: Sequence[ChapterTalk],
        heads: Sequence[str],
        candidates: Sequence[Sequence[Candidate]],
        index: ToldIndex,
    ) -> None:
        self.candidates, self.index = candidates, index
        self.talks = talks
        shared = Counter(one for talk in talks for one in talk.told)
        self.rare = {one: 1.0 / count for one, count in shared.items()}
        self.returns = [_RETURN.search(_CHANGED.sub("", head)) is not None for head in heads]
        self.numbers = [_round_number(head) for head in heads]
        self.same = [_SAME.search(head) is not None for head in heads]
        self.setups = [
            frozenset(part for one in talk.sentences for s in one for part in index.meanings(s))
            for talk in talks
        ]
        surest = [max((one.score for one in each), default=0.0) for each in candidates]
        self.doubt = [max(LEAST_DOUBT, 1.0 - NAMED_PLAINLY * max(0.0, score)) for score in surest]
        self._parts: dict[str | None, frozenset[str]] = {}
        self._words: dict[str | None, frozenset[str]] = {}
        self._likeness: dict[tuple[int, int], float] = {}

    def steps(self, reading: _Reading, c: int) -> list[_Reading]:
        """Return the readings that the next chapter may lead to."""
        known = {group.key for group in reading.groups}
        out = []
        turn = -ANNOUNCED_RETURN if self.returns[c] and reading.groups else 0.0
        for one in self.candidates[c]:
            if one.key not in known:
                out.append(self._new(reading, c, one, one.score + turn))
        out.append(self._new(reading, c, None, UNNAMED_SCORE + turn))
        out += [self._again(reading, c, g) for g in range(len(reading.groups))]
        return out

    def _new(self, reading: _Reading, c: int, one: Candidate | None, score: float) -> _Reading:
        text = one.text if one else ""
        exercise = one.exercise if one else None
        group = _Group(
            one.key if one else f"?{c}", exercise, frozenset(map(fold, words_of(text))), self._stems(one), (c,)
        )
        return _Reading(
            reading.score + score,
            (*reading.labels, len(reading.groups)),
            (*reading.picks, one),
            (*reading.groups, group),
        )

    def _again(self, reading: _Reading, c: int, g: int) -> _Reading:
        group = reading.groups[g]
        pick, agreement = self._agreement(c, group)
        order = LIKENESS * max(self.likeness(c, i) for i in group.chapters)
        order += self._order(reading, g) + (0.0 if pick else NAME_WORDS * self._named(c, group))
        if self.returns[c] and g != reading.labels[-1]:
            order += ANNOUNCED_RETURN
        if g == reading.labels[-1]:
            order += ANNOUNCED_SAME if self.same[c] else STAYS if self.numbers[c] is None else 0.0
        number = self.numbers[c]
        if number is not None:
            order += RIGHT_ROUND if len(group.chapters) == number - 1 else -WRONG_ROUND
        score = agreement + (AGREES if pick else 0.0) + order * self.doubt[c]
        groups = list(reading.groups)
        groups[g] = _Group(group.key, group.exercise, group.words, group.stems, (*group.chapters, c))
        return _Reading(reading.score + score, (*reading.labels, g), (*reading.picks, pick), tuple(groups))

    def _agreement(self, c: int, group: _Group) -> tuple[Candidate | None, float]:
        best: tuple[Candidate | None, float] = (None, 0.0)
        for one in self.candidates[c]:
            if one.key == group.key:
                score = one.score
            elif one.generic and fold(words_of(one.text)[-1]) in group.words:
                score = one.score * (GENERIC if len(words_of(one.text)) == 1 else GENERIC_LIMB)
            elif one.generic and fold(words_of(one.text)[-1]) in self._listed_words(group.exercise):
                score = one.score * GENERIC_LISTED
            else:
                continue
            if score > best[1]:
                best = one, score
        return best

    def _listed_stems(self, exercise: str | None) -> frozenset[str]:
        if exercise not in self._parts:
            known = self.index.lexicon.exercises.get(exercise or "")
            names = known.names[:6] if known else ()
            self._parts[exercise] = frozenset(part for name in names for part in stems_of(name)) - GIVEN
        return self._parts[exercise]

    def _listed_words(self, exercise: str | None) -> frozenset[str]:
        if exercise not in self._words:
            known = self.index.lexicon.exercises.get(exercise or "")
            self._words[exercise] = frozenset(fold(word) for name in known.names for word in words_of(name)) if known else frozenset()
        return self._words[exercise]

    def _order(self, reading: _Reading, g: int) -> float:
        labels = reading.labels
        for k in range(len(labels) - 2, -1, -1):
            if labels[k] == labels[-1]:
                return FOLLOWS if labels[k + 1] == g else -FORGETS * self._since(labels, g)
        return -FORGETS * self._since(labels, g)

    @staticmethod
    def _since(labels: Sequence[int], g: int) -> int:
        return len(set(labels[max(k for k, label in enumerate(labels) if label == g) + 1 :]))

    def likeness(self, c: int, i: int) -> float:
        """Return how alike two chapters are told, 0 to 1; words that few chapters share count more."""
        if (c, i) not in self._likeness:
            a, b = self.talks[c].told, self.talks[i].told
            shared = sum(self.rare[one] for one in a & b)
            self._likeness[c, i] = min(1.0, 2.0 * shared / (1.0 + len(a)) ** 0.5)
        return self._likeness[c, i]

    def _named(self, c: int, group: _Group) -> float:
        """Return how much of what may be its name is said here, 0 to 1."""
        own = sum(map(self.index.weight, self.setups[c] & group.stems))
        other = sum(map(self.index.weight, self.setups[c] & self._listed_stems(group.exercise) - group.stems))
        return min(1.0, (own + OTHER_NAMES * other) / 5.0)

    def _stems(self, one: Candidate | None) -> frozenset[str]:
        return frozenset(stems_of(one.text)) - GIVEN if one else frozenset()
