"""The listed names that sound most like what stands where a name is announced.

Names that share sounds with what was heard (``shared_sounds.py``) are looked at; how likely each of them was said, and
how likely none, is told by a weighted sum of what differs (a logistic model; ``tests.mentions.fit_slots`` fits
it to misheard names and to talk that names nothing); what a sound costs that was heard as another is in
``mishearing.py``.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate
from math import exp, sqrt
from typing import TYPE_CHECKING, NamedTuple

from pipeline.mentions.mishearing import SoundTable
from pipeline.mentions.numbers import TENS, UNITS
from pipeline.mentions.plain_speech import NUMBERS, PLAIN_SPEECH
from pipeline.mentions.shared_sounds import SharedSounds
from pipeline.mentions.slots import ANNOUNCED, LONGEST, LOOSELY, is_amount, reach_of
from pipeline.mentions.sounds import SIBILANTS, phonemes, spelt
from pipeline.mentions.tokens import Token, key_of, name_tokens, tokens_of

if TYPE_CHECKING:
    from lexicon import Lexicon
    from pipeline.mentions.mishearing import Array

SHORTEST = 3
"""Phonemes that a name has at least."""
LENGTHS = 0.5
"""A name may be longer or shorter than what was heard by this share."""
MOST_AFTER = 5
"""Phonemes from which on it makes no difference how many are left over: a recogniser need not write a pause."""
FEWEST_LETTERS = 3
"""So many letters of one hyphened word spell another word."""
LEAST_LIKELY, HEARD_RIGHT = 0.03, 1.0
"""Names less likely than this (0 to 1) are not told; the score of what is no mishearing at all."""
SCORE_FROM, SCORE_SPAN = 0.37, 0.61
"""How a likelihood becomes a score: from which score on a name counts for something, and how much it may reach."""

NONE, NONE_LENGTH = 0.28, 0.29
"""The weight of "no name stands here", and what each phoneme of the place adds to it."""
WEIGHTS = {"cost": -0.4, "before": -0.68, "after": -0.27, "shared": 0.38, "chief": 0.7, "own": -0.83}
"""What counts for or against a name: the cost of its sounds heard as they were, a phoneme heard before or after it, a
word of the name that was heard right, being the chief name of its exercise, having been heard in a coach's own words
alone."""
STARTS = 3
"""At so many words of a place a name may start: a frame, too, is misheard."""
KNOWN = 1.0
"""Log odds, judgement: what it adds that the class has named the exercise."""

_IN_WORDS = {str(value): word for word, value in {**UNITS, **TENS, "hundred": 100}.items()}


@dataclass(frozen=True, slots=True)
class Sounding:
    """A listed name near to what was heard: exercise id, name, score (0 to 1), and the tokens heard."""

    exercise: str
    name: str
    score: float
    first: int
    stop: int


class NameSound(NamedTuple):
    """A listed name as phonemes; ``chief``: it is its exercise's first name."""

    exercise: str
    name: str
    sound: str
    chief: bool


@dataclass(frozen=True, slots=True)
class Comparison:
    """Names against ranges of tokens at one place, ``size`` phonemes long.

    ``features[range, name, feature]`` is what differs, by the order of ``WEIGHTS``; where ``apart[range, name]``, the
    two are of too different a length to be compared.
    """

    names: Sequence[NameSound]
    ranges: Sequence[tuple[int, int]]
    features: Array
    apart: Array
    size: int


class NameSounds:
    """All names of a lexicon as phonemes, to be searched for the nearest."""

    def __init__(self, lexicon: Lexicon) -> None:
        import numpy as np

        self._names: list[NameSound] = []
        self._at_home = set(PLAIN_SPEECH) | NUMBERS
        for phrases in (*lexicon.phrases.get("cues", {}).values(), *lexicon.phrases.get("posture", {}).values()):
            self._at_home.update(token.text for phrase in phrases for token in tokens_of(phrase.split()))
        for phrases in lexicon.paraphrases.values():
            self._at_home.update(token.text for phrase in phrases for token in tokens_of(phrase.split()))
        holding: dict[str, list[int]] = defaultdict(list)
        seen = set[str]()
        for exercise in lexicon.exercises.values():
            for name in exercise.names:
                words = [token.text for token in name_tokens(name)]
                self._at_home.update(words)
                sound = "".join([phonemes(word) for word in words])
                if sound in seen or len(sound) < SHORTEST or len(words) > LONGEST + 1:
                    continue
                seen.add(sound)
                for word in set(words):
                    holding[word].append(len(self._names))
                self._names.append(NameSound(exercise.id, name, sound, name == exercise.name))
        self._parts = SharedSounds([one.sound for one in self._names])
        self._holding = {word: np.array(names, dtype=np.intp) for word, names in holding.items()}
        self._chief = np.array([one.chief for one in self._names])
        self._table = SoundTable([one.sound for one in self._names])

    def nearest(
        self, tokens: Sequence[Token], first: int, stop: int, expected: float = ANNOUNCED, known: Collection[str] = ()
    ) -> list[Sounding]:
        """Return the names likeliest said from the token ``first`` on, up to ``stop``, the best of each exercise.

        Words that are all a coach's own are meant as they stand where nothing announces a name plainly ("then it's
        round six" is no round kick).

        ``expected`` is how much likelier than in any talk a name is here (log odds); ``known`` are exercises that
        were named in the class.
        """
        import numpy as np

        compared = self.compare(tokens, first, stop)
        weights = np.where(compared.apart, -np.inf, compared.features @ np.array(list(WEIGHTS.values())))
        best: dict[str, tuple[float, int]] = {}
        for at, (one, weight) in enumerate(zip(compared.names, weights.max(axis=0).tolist(), strict=True)):
            exercise = one.exercise
            if exercise in known:
                weight += KNOWN
            before = best.get(exercise)
            if before is None or weight > before[0]:
                best[exercise] = weight, at
        total = exp(NONE + NONE_LENGTH * compared.size - expected) + sum(exp(weight) for weight, _ in best.values())
        found = []
        for weight, at in best.values():
            likely = exp(weight) / total
            if likely >= LEAST_LIKELY:
                one, row = compared.names[at], int(weights[:, at].argmax())
                start, end = compared.ranges[row]
                if expected <= LOOSELY and not any(map(self.is_foreign, tokens[start:end])):
                    continue
                differs = not self.is_right(tokens[start:end], one)
                score = SCORE_FROM + SCORE_SPAN * sqrt(likely) if differs else HEARD_RIGHT
                found.append(Sounding(one.exercise, one.name, round(score, 3), start, end))
        return sorted(found, key=lambda one: -one.score)

    def compare(self, tokens: Sequence[Token], first: int, stop: int) -> Comparison:
        """Compare the names that share sounds with the place to the ranges of its tokens that may be one."""
        import numpy as np

        reach = reach_of(tokens, first, stop)
        sounds = sounds_of(tokens[first:reach])
        wholes = {"".join(sounds[: stop - first]), "".join(sounds)}
        at_names = list(dict.fromkeys([one for whole in sorted(wholes, key=len) for one in self._parts.most(whole)]))
        starts = range(first, min(first + STARTS, stop))
        ranges = [(at, end) for at in starts for end in range(at + 1, reach + 1)]
        heard = np.array([[sum(map(len, sounds[at - first : end - first]))] for at, end in ranges])
        lengths = self._table.lengths[at_names]
        apart = np.abs(lengths - heard) > LENGTHS * np.maximum(lengths, heard)
        near = np.flatnonzero(~apart.all(axis=0))
        at_names, apart = [at_names[at] for at in near.tolist()], apart[:, near]
        features = np.zeros((len(ranges), len(at_names), len(WEIGHTS)))
        if at_names:
            costs = self._costs(tokens[first:reach], sounds, len(starts), at_names)
            features[:, :, 0] = np.concatenate([one[at:] for at, one in enumerate(costs)])
        shared = {
            token.text: self._are_holding(token.text, at_names)
            for token in tokens[first:reach]
            if token.plain not in PLAIN_SPEECH and token.text in self._holding
        }
        foreign = [self.is_foreign(token) for token in tokens[first:reach]]
        for row, (at, end) in enumerate(ranges):
            features[row, :, 1] = sum(map(len, sounds[: at - first]))
            features[row, :, 2] = _left_over(tokens, sounds, first, end, stop if end <= stop else reach)
            for word in {token.text for token in tokens[at:end] if token.plain not in PLAIN_SPEECH} & shared.keys():
                features[row, :, 3] += shared[word]
            features[row, :, 5] = not any(foreign[at - first : end - first])
        features[:, :, 4] = self._chief[at_names]
        return Comparison([self._names[at] for at in at_names], ranges, features, apart, sum(map(len, sounds)))

    def _costs(self, tokens: Sequence[Token], sounds: Sequence[str], starts: int, names: Sequence[int]) -> Array:
        """Return ``[start, end, name]``, what the names cost heard from each of the first ``starts`` tokens to each.

        A last s may be a plural's.
        """
        import numpy as np

        ends = list(accumulate(map(len, sounds)))
        singular = [
            end - (token.plain != token.text and sound[-1:] in SIBILANTS and len(sound) > 1)
            for token, sound, end in zip(tokens, sounds, ends, strict=True)
        ]
        stops = sorted({*ends, *singular})
        costs = self._table.compare("".join(sounds), [0, *ends][:starts], stops, names)
        least: Array = np.minimum(costs[:, list(map(stops.index, ends))], costs[:, list(map(stops.index, singular))])
        return least

    def _are_holding(self, word: str, names: Sequence[int]) -> Array:
        """Return for each of the names whether it holds a word."""
        import numpy as np

        holding = np.zeros(len(self._names), dtype=bool)
        holding[self._holding[word]] = True
        return holding[names]

    @staticmethod
    def is_right(tokens: Sequence[Token], one: NameSound) -> bool:
        """Return whether the tokens are the name as it is written."""
        return "".join([token.text for token in tokens]) == key_of(one.name)

    def is_foreign(self, token: Token) -> bool:
        """Return whether a word is none of a coach's own: in no name, cue or paraphrase, no plain speech."""
        return not token.plain.isdigit() and token.text not in self._at_home and token.plain not in self._at_home


def sounds_of(tokens: Sequence[Token]) -> list[str]:
    """Return the sound of each token as said; letters one by one ("H-A-M-S") as the word that they spell."""
    sounds = [_sound_of(token) for token in tokens]
    at = 0
    while at < len(tokens):
        stop = at
        while stop < len(tokens) and tokens[stop].word == tokens[at].word and len(tokens[stop].plain) == 1:
            stop += 1
        if stop - at >= FEWEST_LETTERS:
            spelled = "".join(token.plain for token in tokens[at:stop])
            sounds[at:stop] = [spelt(spelled), *[""] * (stop - at - 1)]
        at = max(stop, at + 1)
    return sounds


def _sound_of(token: Token) -> str:
    plain = token.plain
    return spelt(_IN_WORDS.get(plain, plain) if plain.isascii() else "")


def _left_over(tokens: Sequence[Token], sounds: Sequence[str], first: int, end: int, place_end: int) -> int:
    """Return the phonemes between a name and the pause or amount that ends its place; 0 where nothing ends it."""
    if not tokens[place_end - 1].pause and not (place_end < len(tokens) and is_amount(tokens[place_end])):
        return 0
    return min(MOST_AFTER, sum(map(len, sounds[end - first : place_end - first])))


@lru_cache(maxsize=4)
def name_sounds(lexicon: Lexicon) -> NameSounds:
    """Return the sounds of a lexicon's names, made once."""
    return NameSounds(lexicon)
