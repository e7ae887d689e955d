"""Which exercise each chapter is about, decided over the whole class at once.

In a circuit the third time round the presenter may name nothing at all. What speaks for a return is what was
named or told in the chapter, words that it shares with earlier chapters of that exercise, what followed last
time round, and words such as "again" and "round two". A beam search keeps the likeliest
readings so far, so that a later round may also put right what the first one left open.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pipeline.chapter_names.naming import Candidate, is_shorter, words_of
from pipeline.chapter_names.returns import read_turn
from pipeline.chapter_names.room import ChapterTalk
from pipeline.chapter_names.stems import stems_of
from pipeline.chapter_names.told import GIVEN, ToldIndex
from pipeline.mentions.tokens import fold

BEAM = 32
"""Readings kept at a time."""
# Judgement, fitted by eye on annotated classes, on the scale of a candidate's score.
UNNAMED_SCORE = 0.3
"""What a chapter scores that is about something of which nothing was understood."""
AGREES = 0.06
"""A return to what was named here, over a new exercise by that name."""
LIMBS = frozenset({"arm", "leg", "hand"})
GENERIC, GENERIC_LIMB, GENERIC_LISTED = 0.95, 0.85, 0.8
"""What a bare word ("press"), or one with a limb ("one-arm press"), is worth for an earlier exercise whose name
holds it; what it is worth where only one of the other names does."""
SHORTER, PLAINER = 0.95, 0.12
"""What the end of an earlier exercise's name ("deadlift" after a Romanian one) is worth for that, and how much less
where that was done just before: then the plainer one is likelier meant."""
FULLER = 0.9
"""Where a return is announced, what a fuller name than an earlier exercise's is worth for that."""
FOLLOWS = 0.4
"""It followed the exercise before last time."""
ANNOUNCED_RETURN, ANNOUNCED_SAME = 0.16, 0.4
"""The chapter's first sentences say "back", "again", "round two"; they say "set two", "same again"."""
GUESSED_ANEW = 0.06
"""Where a return is announced, what a new exercise that was not named but only told or sounded alike loses more."""
STAYS, STAYS_UNTOLD = -0.2, 0.1
"""The exercise before goes on, where nothing says so; where nothing at all is named or told."""
OTHER_NAMES, ALL_NAMED = 0.5, 5.0
"""What a word of its other names counts of one of its own; the weight of words that is as good as the name."""
RIGHT_ROUND, WRONG_ROUND = 0.25, 0.1
""""Round two" is said, and the exercise was done once so far; it was done more or less often."""
LIKENESS, NAME_WORDS = 0.45, 0.4
"""Shared words (0 to 1) with the earlier chapters; words of its names said here (0 to 1)."""
NAMED_PLAINLY, LEAST_DOUBT = 0.95, 0.06
"""The better a chapter is named, the less do order and likeness count: what a score takes from 1, and the least."""
FORGETS = 0.02
"""A return to what was done long ago is less likely, by each exercise since."""


@dataclass(frozen=True)
class _Group:
    """The chapters of one exercise so far; ``said`` is its name where it was named, not only told."""

    key: str
    exercise: str | None
    words: frozenset[str]
    stems: frozenset[str]
    said: str
    chapters: tuple[int, ...]


@dataclass(frozen=True)
class _Reading:
    """A reading of the class so far: each chapter's group and candidate."""

    score: float
    labels: tuple[int, ...] = ()
    picks: tuple[Candidate | None, ...] = ()
    groups: tuple[_Group, ...] = ()


# A step from one reading: the score after it, the reading, the group it goes on with (``None``: a new one),
# and the candidate that named the chapter.
_Step = tuple[float, _Reading, int | None, Candidate | None]


def read_rounds(
    talks: Sequence[ChapterTalk],
    heads: Sequence[str],
    candidates: Sequence[Sequence[Candidate]],
    index: ToldIndex,
) -> list[tuple[int, Candidate | None]]:
    """Return for each exercise chapter the number of its exercise, and the candidate that named it.

    ``heads`` are the first words of each chapter; a candidate ``None`` stands where nothing named it.
    """
    frame, beam = _Frame(talks, heads, candidates, index), [_Reading(0.0)]
    for c in range(len(talks)):
        steps = [step for reading in beam for step in frame.steps(reading, c)]
        steps.sort(key=lambda step: -step[0])
        beam = [frame.follow(step, c) for step in steps[:BEAM]]
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
        self.candidates, self.index, self.talks = candidates, index, talks
        self.turns = [read_turn(head) for head in heads]
        shared = Counter(one for talk in talks for one in talk.told)
        self.rare = {one: 1.0 / count for one, count in shared.items()}
        self.setups = [
            frozenset(part for one in talk.sentences for s in one for part in index.meanings(s)) for talk in talks
        ]
        surest = [max((one.score for one in each), default=0.0) for each in candidates]
        self.doubt = [max(LEAST_DOUBT, 1.0 - NAMED_PLAINLY * max(0.0, score)) for score in surest]
        self._listed: dict[str | None, tuple[frozenset[str], frozenset[str]]] = {}
        self._likeness: dict[tuple[int, int], float] = {}
        self._said: dict[tuple[int, str], tuple[Candidate | None, float, float]] = {}

    def steps(self, reading: _Reading, c: int) -> list[_Step]:
        """Return the steps that the next chapter may be."""
        known = {group.key for group in reading.groups}
        turn = -ANNOUNCED_RETURN if self.turns[c].returns and reading.groups else 0.0
        steps: list[_Step] = [(reading.score + UNNAMED_SCORE + turn, reading, None, None)]
        for one in self.candidates[c]:
            if one.key not in known:
                guess = GUESSED_ANEW if turn and one.mention is None else 0.0
                steps.append((reading.score + one.score + turn - guess, reading, None, one))
        after = self._after_last(reading)
        for g in range(len(reading.groups)):
            score, pick = self._again(reading, c, g, after)
            steps.append((reading.score + score, reading, g, pick))
        return steps

    def follow(self, step: _Step, c: int) -> _Reading:
        """Return the reading after a step."""
        score, reading, g, pick = step
        groups = list(reading.groups)
        if g is None:
            g = len(groups)
            groups.append(_new_group(c, pick))
        else:
            groups[g] = replace(groups[g], chapters=(*groups[g].chapters, c))
        return _Reading(score, (*reading.labels, g), (*reading.picks, pick), tuple(groups))

    def _again(self, reading: _Reading, c: int, g: int, after: int | None) -> tuple[float, Candidate | None]:
        """Return what a return to a group scores, and the candidate that speaks for it."""
        group, turn = reading.groups[g], self.turns[c]
        pick, agreement, named = self._said_of(c, group)
        order = LIKENESS * max(self._like(c, i) for i in group.chapters) + named
        order += FOLLOWS if after == g else -FORGETS * _since(reading.labels, g)
        if g == reading.labels[-1]:
            stays = STAYS if self.candidates[c] else STAYS_UNTOLD
            if pick is not None and not pick.generic and not turn.same and is_shorter(pick.text, group.said):
                agreement -= PLAINER
            order += ANNOUNCED_SAME if turn.same else stays if turn.number is None else 0.0
        elif turn.returns:
            order += ANNOUNCED_RETURN
        if turn.number is not None:
            order += RIGHT_ROUND if len(group.chapters) == turn.number - 1 else -WRONG_ROUND
        return agreement + (AGREES if pick else 0.0) + order * self.doubt[c], pick

    @staticmethod
    def _after_last(reading: _Reading) -> int | None:
        """Return the group that followed the last one when that was done before."""
        labels = reading.labels
        for k in range(len(labels) - 2, -1, -1):
            if labels[k] == labels[-1]:
                return labels[k + 1]
        return None

    def _said_of(self, c: int, group: _Group) -> tuple[Candidate | None, float, float]:
        """Return the candidate that agrees with a group, its score, and what words of its names add without one."""
        key = (c, group.key)
        if key not in self._said:
            pick, agreement = self._agreement(c, group)
            named = 0.0
            if pick is None:
                weigh = self.index.weight if group.exercise else self.index.weight_of_own
                own = sum(map(weigh, self.setups[c] & group.stems))
                other = sum(map(self.index.weight, self.setups[c] & self._names(group.exercise)[1] - group.stems))
                named = NAME_WORDS * min(1.0, (own + OTHER_NAMES * other) / ALL_NAMED)
            self._said[key] = pick, agreement, named
        return self._said[key]

    def _agreement(self, c: int, group: _Group) -> tuple[Candidate | None, float]:
        best: tuple[Candidate | None, float] = None, 0.0
        for one in self.candidates[c]:
            words = words_of(one.text)
            if one.key == group.key:
                score = one.score
            elif one.generic and fold(words[-1]) in group.words:
                limbs = LIMBS.intersection(words)
                known = group.words | self._names(group.exercise)[0]
                score = one.score * (GENERIC if limbs <= known else GENERIC_LIMB)
            elif one.generic and fold(words[-1]) in self._names(group.exercise)[0]:
                score = one.score * GENERIC_LISTED
            elif (one.mention is not None or one.own) and is_shorter(one.text, group.said):
                score = one.score * SHORTER
            elif self.turns[c].returns and self._is_fuller(one, group):
                score = one.score * FULLER
            else:
                continue
            if score > best[1]:
                best = one, score
        return best

    @staticmethod
    def _is_fuller(one: Candidate, group: _Group) -> bool:
        """Return whether a name holds the whole name of a group; that it may do by chance where it is but a word."""
        return len(group.words) > (one.mention is not None) and group.words < set(map(fold, words_of(one.text)))

    def _names(self, exercise: str | None) -> tuple[frozenset[str], frozenset[str]]:
        """Return the words of an exercise's names, and the stems of the first of them that tell something."""
        if exercise not in self._listed:
            known = self.index.lexicon.exercises.get(exercise or "")
            names = known.names if known else ()
            self._listed[exercise] = (
                frozenset(fold(word) for name in names for word in words_of(name)),
                frozenset(part for name in names[:6] for part in stems_of(name)) - GIVEN,
            )
        return self._listed[exercise]

    def _like(self, c: int, i: int) -> float:
        """Return how alike two chapters are told, 0 to 1; words that few chapters share count more."""
        if (c, i) not in self._likeness:
            a, b = self.talks[c].told, self.talks[i].told
            shared = sum(self.rare[one] for one in a & b)
            self._likeness[c, i] = min(1.0, 2.0 * shared / (1.0 + len(a)) ** 0.5)
        return self._likeness[c, i]


def _new_group(c: int, one: Candidate | None) -> _Group:
    if one is None:
        return _Group(f"?{c}", None, frozenset(), frozenset(), "", (c,))
    stems = frozenset(stems_of(one.text)) - GIVEN
    words = frozenset(map(fold, words_of(one.text)))
    return _Group(one.key, one.exercise, words, stems, one.text if one.mention or one.own else "", (c,))


def _since(labels: Sequence[int], g: int) -> int:
    """Return how many exercises were done since a group was."""
    return len(set(labels[len(labels) - labels[::-1].index(g) :]))
