"""Exercises that are told, not named: "we're pulling the band apart", "press the bar overhead".

A name may be spread over a sentence, its words in any order and in any form. :class:`ToldIndex` keeps every
name and paraphrase of a lexicon by its rarest stem; a chapter's set-up is then asked for the names of which
all the words that matter stand close together. What the class does anyway (its equipment, its posture) need
not be said.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log
from typing import TYPE_CHECKING

from pipeline.chapter_names.stems import stem, stems_of
from pipeline.mentions.numbers import TENS, UNITS

if TYPE_CHECKING:
    from lexicon import Exercise, Lexicon

_GIVEN_WORDS = """
standing seated sitting lying supine prone kneeling dumbbell kettlebell barbell band banded bodyweight
weighted mini resistance loop mat single alternating alternate two double bilateral slow basic classic full static
loaded body weight tempo traditional regular
"""
#: Stems that the circumstances answer for: posture, equipment, number of limbs.
GIVEN = frozenset(part for word in _GIVEN_WORDS.split() for part in stems_of(word))
#: Of such a word, what of its weight counts where it is there, and what is lost where it is not.
GIVEN_THERE, GIVEN_MISSING = 0.5, 0.35
#: Directions and plain words that stand in every sentence weigh this; the most a rare word weighs.
COMMON, MOST = 0.5, 4.0
_COMMON_WORDS = """
up out down back over side in off top low high hand two three four long hold go front through both other time
round left right same body
one make all them clock then keep each your away still way bring move take half slightly spot place end once turn around
"""
_COMMON = frozenset(part for word in _COMMON_WORDS.split() for part in stems_of(word))
#: Words of form cues ("squeeze the glutes at the top") weigh this at most.
CUE = 1.2
_CUES = frozenset(map(stem, "squeeze press push pull lift reach bend tuck brace drop hover breath turn start".split()))
#: The words of a name have to weigh this much together.
LEAST = 2.6
#: Words of one sentence, of neighbouring sentences.
TOGETHER, APART = 1.0, 0.72
#: What one unit of weight adds to the score, and the most that a name not said as such may score.
A_UNIT, MOST_SCORE = 0.1, 0.72


#: A paraphrase with two words that weigh so much is made to be said; a name's words may meet by chance.
TELLING, PARAPHRASE = 1.0, 0.2
#: What it adds that the words stand in a name's own order in one sentence; each word may have so many others after it.
IN_ORDER, BETWEEN = 0.12, 1
#: Two of them have to weigh so much: "pick it up" is said of anything.
MEANT = 0.9
#: Numbers count reps and seconds, so that those of a name ("ninety-ninety", "one-and-a-half", "wide second") have to
#: stand in order.
_NUMBERS = frozenset(map(stem, "second two three four five six seven eight nine ten".split()))
#: After one of these a second is a time, no position: "knees wide, twenty seconds".
_COUNTS = frozenset(map(stem, (*UNITS, *TENS)))


@dataclass(frozen=True, slots=True)
class ToldName:
    """A name or paraphrase as stems: those that have to be said, and those that circumstances answer for.

    ``ordered`` are the stems to be said as the name has them, ``said`` the same, the rarest first.
    """

    exercise: str
    text: str
    ordered: tuple[str, ...]
    said: tuple[str, ...]
    given: tuple[str, ...]
    weight: float
    paraphrase: bool


@dataclass(frozen=True, slots=True)
class Told:
    """An exercise that was told: its id, the name or paraphrase met, the sentence, and a score from 0 to 1."""

    exercise: str
    text: str
    sentence: int
    score: float
    paraphrase: bool


class ToldIndex:
    """All names and paraphrases of a lexicon, by their rarest stem."""

    def __init__(self, lexicon: Lexicon) -> None:
        self.lexicon = lexicon
        often: dict[str, int] = {}
        for exercise in lexicon.exercises.values():
            for one in {part for name in exercise.names for part in stems_of(name)}:
                often[one] = often.get(one, 0) + 1
        total = len(lexicon.exercises)
        for phrases in lexicon.paraphrases.values():
            for one in {part for phrase in phrases for part in stems_of(phrase)}:
                often[one] = often.get(one, 0) + 1
        self._weights = {
            one: COMMON if one in _COMMON else min(CUE if one in _CUES else MOST, log(total / (1 + count)) - 0.6)
            for one, count in often.items()
        }
        self._meant: dict[str, tuple[str, ...]] = {}
        for meant, words in lexicon.everyday_words.items():
            for word in words:
                for part in stems_of(word)[:1]:
                    self._meant[part] = (*self._meant.get(part, ()), stem(meant))
        self._by_stem: dict[str, list[ToldName]] = {}
        for exercise in lexicon.exercises.values():
            for name in exercise.names:
                self._add(exercise, name, False)
            for name in lexicon.paraphrases.get(exercise.id, ()):
                self._add(exercise, name, True)

    def weight(self, one: str) -> float:
        """Return how much a stem tells, from :data:`COMMON` to :data:`MOST`: a rare one more."""
        return self._weights.get(one, COMMON)

    def weight_of_own(self, one: str) -> float:
        """Return how much a stem of a name that no list holds tells: most where no listed name holds it."""
        return self._weights.get(one, MOST)

    def meanings(self, one: str) -> tuple[str, ...]:
        """Return a stem and what it may stand for ("bar" for "barbell")."""
        return (one, *self._meant.get(one, ()))

    def find(self, sentences: Sequence[Sequence[str]], given: frozenset[str]) -> list[Told]:
        """Return the exercises told in ``sentences`` (stems, in order), the best sentence of each.

        ``given`` are stems that the circumstances answer for ("seat", "band").
        """
        places: dict[str, list[int]] = {}
        for at, sentence in enumerate(sentences):
            for before, one in zip(("", *sentence), sentence, strict=False):
                if one == "second" and (before.isdigit() or before in _COUNTS):
                    continue
                for meant in self.meanings(one):
                    seen = places.setdefault(meant, [])
                    if not seen or seen[-1] != at:
                        seen.append(at)
        best: dict[str, Told] = {}
        for one in places:
            for name in self._by_stem.get(one, ()):
                if all(part in places for part in name.said):
                    told = self._weigh(name, places, given, sentences)
                    if told is not None and (name.exercise not in best or told.score > best[name.exercise].score):
                        best[name.exercise] = told
        return sorted(best.values(), key=lambda told: -told.score)

    def _weigh(
        self,
        name: ToldName,
        places: Mapping[str, Sequence[int]],
        given: frozenset[str],
        sentences: Sequence[Sequence[str]],
    ) -> Told | None:
        where, near = min(
            (
                (at, max(min(abs(other - at) for other in places[part]) for part in name.said))
                for at in places[name.said[0]]
            ),
            key=lambda pair: (pair[1], pair[0]),
        )
        if near > 1:
            return None
        ordered = near == 0 and self._in_order(name.ordered, sentences[where])
        if not ordered and _NUMBERS.intersection(name.said):
            return None
        if len(name.said) < 2 and not any(part in places for part in name.given):
            return None
        weight = name.weight * (TOGETHER if near == 0 else APART)
        for part in name.given:
            there = part in given or part in places
            weight += self.weight(part) * (GIVEN_THERE if there else -GIVEN_MISSING)
        if weight < LEAST:
            return None
        score = min(MOST_SCORE, A_UNIT * weight)
        if name.paraphrase and sum(self.weight(part) >= TELLING for part in name.said) > 1:
            score += PARAPHRASE
        if ordered and sum(self.weight(part) >= MEANT for part in name.said) > 1:
            score += IN_ORDER
        return Told(name.exercise, name.text, where, score, name.paraphrase)

    def _in_order(self, parts: Sequence[str], sentence: Sequence[str]) -> bool:
        """Return whether a sentence says the parts in their order, with little between them."""
        for first in range(len(sentence)):
            k, stop = 0, min(len(sentence), first + len(parts) + BETWEEN * (len(parts) - 1))
            for at in range(first, stop):
                if k < len(parts) and parts[k] in self.meanings(sentence[at]):
                    k += 1
                elif at == first:
                    break
            if k == len(parts):
                return True
        return False

    def _add(self, exercise: Exercise, text: str, paraphrase: bool) -> None:
        parts = tuple(dict.fromkeys(stems_of(text)))
        said = [part for part in parts if part not in GIVEN]
        weight = sum(self.weight(part) for part in said)
        if not said or (len(said) < 2 and weight < LEAST) or weight < LEAST - 1.0:
            return
        ordered = tuple(said)
        said.sort(key=lambda part: -self.weight(part))
        given = tuple(part for part in parts if part in GIVEN)
        name = ToldName(exercise.id, text, ordered, tuple(said), given, weight, paraphrase)
        self._by_stem.setdefault(said[0], []).append(name)


@lru_cache(maxsize=4)
def told_index(lexicon: Lexicon) -> ToldIndex:
    """Return the index of a lexicon, built once."""
    return ToldIndex(lexicon)
