"""Where a name is bound to stand ("next up, the …"), and the listed names that sound most like what stands there.

A recogniser may write anything for a name that it does not know. Where a presenter plainly announces one, the
nearest name by sound may be taken from much farther off than in running talk; how far is up to the caller.
Names that share sounds with what was heard, three in a row, are looked at; how likely each of them was said, and
how likely none, is told by a weighted sum of what differs (a logistic model; ``tests.mentions.fit_slots`` fits
it to misheard names and to talk that names nothing); what a sound costs that was heard as another is in
``mishearing.py``.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import exp, sqrt
from typing import TYPE_CHECKING, Any, NamedTuple

from pipeline.mentions.mishearing import SoundTable
from pipeline.mentions.numbers import TENS, UNITS
from pipeline.mentions.plain_speech import NUMBERS, PLAIN_SPEECH, SOUNDS_LIKE_A_LETTER
from pipeline.mentions.sounds import SIBILANTS, consonants, phonemes, skeleton, spelt
from pipeline.mentions.tokens import Token, key_of, name_tokens, tokens_of

if TYPE_CHECKING:
    import numpy as np

    from lexicon import Lexicon

LONGEST = 5
"""How many words a misheard name may be spread over."""
REACH = 6
"""How many words of a frame are looked at."""
SHORTLIST = 200
"""How many names are compared: those that share the largest part of their sounds, and of those heard."""
SHORTEST = 3
"""Phonemes that a name has at least."""
LENGTHS = 0.5
"""A name may be longer or shorter than what was heard by this share."""
MOST_AFTER = 5
"""Phonemes from which on it makes no difference how many are left over: a recogniser need not write a pause."""
BEFORE_COMMA = 2
"""A comma after so few words may stand inside a misheard name ("tricep, skip back holes")."""
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
KNOWN, ANNOUNCED, LOOSELY = 1.0, 2.0, -3.0
"""Log odds, judgement: what it adds that the class has named the exercise; that what stands before the place announces
a name plainly ("next up, the", "now it's a"); that it may as well announce anything ("that's the", "for")."""

_FRAME = re.compile(
    r"\b(?:next up|next|first up|last up|up next|it's|its|it is|this is|that's|called|time for|ready for|now|now for"
    r"|back to|on to|onto|into|moving on to|straight into|here comes?|here's|we've got|we have|let's do|we'll do|doing"
    r"|next (?:one|move|exercise)?(?: is| it's| are)|(?:move|exercise|number|station|rung|block) \S+|for|are)"
    r"(?: ,)?(?: (?:the|a|an|our|some|those|these|my|your|more|into|it's))* $"
)
#: These announce a name and little else.
_PLAINLY = re.compile(
    r"\b(?:(?:next up|first up|last up|up next|back to|called|moving on to|straight into|here comes?|time for|now"
    r"|now for|next(?: is| are| it's)|(?:next|first|last|this) (?:one|move|exercise)(?: is| it's)?"
    r"|(?:move|exercise|number|station|rung|block) \S+)(?: ,)?(?: (?:it's|its|is|the|a|an|our|some|my|your))*"
    r"|(?:it's|its|this is) (?:the|a|an|our))(?: ,)? $"
)
#: After these even plain speech may be a misheard name ("next up, and rotations" for "band rotations").
_STRONG_FRAME = re.compile(r"\b(?:next up|first up|last up|up next|it's|back to|this is|called|moving on to)(?: ,)? $")
_ARTICLES = frozenset({"the", "a", "an", "our", "some", "those", "these", "my", "your"})
_NAMING = frozenset({"the", "a", "an"})
_COUNTABLE = frozenset({"move", "exercise", "number", "station", "rung", "block"})
_FRAME_ENDS_WORDS = """
next up it's its is that's called for now to onto into come comes here's got have do doing one are more
"""
_FRAME_ENDS = _ARTICLES | _COUNTABLE | frozenset(_FRAME_ENDS_WORDS.split())
_NO_START = PLAIN_SPEECH - SOUNDS_LIKE_A_LETTER | _ARTICLES
_IN_WORDS = {str(value): word for word, value in {**UNITS, **TENS, "hundred": 100}.items()}
_FIRM = frozenset({"up", "called", "to", "move", "exercise", "try", "do"})


@dataclass(frozen=True, slots=True)
class Sounding:
    """A listed name near to what was heard: exercise id, name, score (0 to 1), and the tokens heard."""

    exercise: str
    name: str
    score: float
    first: int
    stop: int


class NameSound(NamedTuple):
    """A listed name as phonemes, with like ones made equal as well; ``chief``: it is its exercise's first name."""

    exercise: str
    name: str
    words: frozenset[str]
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
    features: np.ndarray[Any, Any]
    apart: np.ndarray[Any, Any]
    size: int


def find_slots(tokens: Sequence[Token], first: int, stop: int) -> list[tuple[int, int]]:
    """Return the ranges of tokens in which an announced name starts at the first one, as long as one may be."""
    found = []
    for at in range(first, stop):
        if at == first or not _may_end_a_frame(tokens, at) or _is_count(tokens, at):
            continue
        lead = _lead(tokens, first, at)
        plain = tokens[at].plain
        weak = plain in _NO_START and tokens[at - 1].plain not in _NAMING
        if plain in _ARTICLES or not (_STRONG_FRAME if weak else _FRAME).search(lead):
            continue
        end = at
        while end < min(at + LONGEST, stop):
            end += 1
            if tokens[end - 1].pause or (end < stop and _is_amount(tokens[end])):
                break
        found.append((at, end))
    return found


def expectation(tokens: Sequence[Token], at: int) -> float:
    """Return how much likelier a name is at token ``at`` than in any talk (log odds), by what stands before it."""
    plainly = tokens[at - 1].pause < 2 and _PLAINLY.search(_lead(tokens, 0, at))
    return ANNOUNCED if plainly else LOOSELY


def _lead(tokens: Sequence[Token], first: int, at: int) -> str:
    return "".join(
        f"{token.plain} ," + " " if token.pause == 1 else f"{token.plain} "
        for token in tokens[max(first, at - REACH) : at]
    )


def _is_count(tokens: Sequence[Token], at: int) -> bool:
    """Return whether a number counts something, and so starts no name: "ten of them", not "the 10-boom arc"."""
    token = tokens[at]
    if not (token.plain.isdigit() or token.plain in NUMBERS):
        return False
    after = tokens[at + 1] if at + 1 < len(tokens) and not token.pause else None
    return after is None or (after.word != token.word and after.plain not in {"to"})


def _is_amount(token: Token) -> bool:
    """Return whether a number says how many, not "one-arm" or "two-hand"."""
    number = token.plain.isdigit() or token.plain in NUMBERS
    return number and token.plain not in {"1", "2", "one", "two"}


def _may_end_a_frame(tokens: Sequence[Token], at: int) -> bool:
    """Return whether token ``at`` can stand after a frame, told by the words before it: a quick look."""
    before = tokens[at - 1]
    return before.pause == 1 or before.plain in _FRAME_ENDS or (at > 1 and tokens[at - 2].plain in _COUNTABLE)


def is_firm(tokens: Sequence[Token], at: int) -> bool:
    """Return whether an article, or a frame that announces nothing but names, stands right before token ``at``."""
    return at > 0 and (tokens[at - 1].plain in _ARTICLES or tokens[at - 1].plain in _FIRM)


class NameSounds:
    """All names of a lexicon as phonemes, to be searched for the nearest."""

    def __init__(self, lexicon: Lexicon) -> None:
        import numpy as np

        self._names: list[NameSound] = []
        sharing: dict[str, list[int]] = defaultdict(list)
        self._at_home = set(PLAIN_SPEECH) | NUMBERS
        for phrases in (*lexicon.phrases.get("cues", {}).values(), *lexicon.phrases.get("posture", {}).values()):
            self._at_home.update(token.text for phrase in phrases for token in tokens_of(phrase.split()))
        for phrases in lexicon.paraphrases.values():
            self._at_home.update(token.text for phrase in phrases for token in tokens_of(phrase.split()))
        seen = set[str]()
        for exercise in lexicon.exercises.values():
            for name in exercise.names:
                words = [token.text for token in name_tokens(name)]
                self._at_home.update(words)
                sound = "".join([phonemes(word) for word in words])
                if sound in seen or len(sound) < SHORTEST or len(words) > LONGEST + 1:
                    continue
                seen.add(sound)
                for part in set(_parts(sound)):
                    sharing[part].append(len(self._names))
                chief = name == exercise.name
                self._names.append(NameSound(exercise.id, name, frozenset(words), sound, chief))
        self._sharing = {part: np.array(names, dtype=np.intp) for part, names in sharing.items()}
        self._table = SoundTable([one.sound for one in self._names])
        self._lengths = self._table.lengths

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
            weight += KNOWN * (one.exercise in known)
            if one.exercise not in best or weight > best[one.exercise][0]:
                best[one.exercise] = weight, at
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

        reach = _reach(tokens, first, stop)
        sounds = sounds_of(tokens[first:reach])
        wholes = {"".join(sounds[: stop - first]), "".join(sounds)}
        at_names = list(dict.fromkeys([one for whole in sorted(wholes, key=len) for one in self._sharing_most(whole)]))
        names = [self._names[at] for at in at_names]
        starts = range(first, min(first + STARTS, stop))
        ranges = [(at, end) for at in starts for end in range(at + 1, reach + 1)]
        features = np.zeros((len(ranges), len(names), len(WEIGHTS)))
        if names:
            compared = [self._compare_from(tokens, sounds, first, at, reach, at_names) for at in starts]
            features[:, :, 0] = np.concatenate(compared)
        heard = np.zeros((len(ranges), 1))
        for row, (at, end) in enumerate(ranges):
            heard[row] = sum(map(len, sounds[at - first : end - first]))
            features[row, :, 1] = sum(map(len, sounds[: at - first]))
            features[row, :, 2] = _left_over(tokens, sounds, first, end, stop if end <= stop else reach)
            words = {token.text for token in tokens[at:end] if token.plain not in PLAIN_SPEECH}
            features[row, :, 3] = [len(words & one.words) for one in names]
            features[row, :, 5] = not any(map(self.is_foreign, tokens[at:end]))
        features[:, :, 4] = [one.chief for one in names]
        lengths = np.array([len(one.sound) for one in names])
        apart = np.abs(lengths - heard) > LENGTHS * np.maximum(lengths, heard)
        return Comparison(names, ranges, features, apart, sum(map(len, sounds)))

    def _compare_from(
        self, tokens: Sequence[Token], sounds: Sequence[str], first: int, at: int, reach: int, names: Sequence[int]
    ) -> np.ndarray[Any, Any]:
        """Return what the names cost, heard from token ``at`` to each token after it; a last s may be a plural's."""
        import numpy as np

        heard, ends, singular = "", list[int](), list[int]()
        for token, sound in zip(tokens[at:reach], sounds[at - first :], strict=True):
            heard += sound
            ends.append(len(heard))
            plural = token.plain != token.text and heard[-1:] in SIBILANTS and len(sound) > 1
            singular.append(len(heard) - plural)
        costs = self._table.compare(heard, ends + singular, names)
        least: np.ndarray[Any, Any] = np.minimum(costs[: len(ends)], costs[len(ends) :])
        return least

    @staticmethod
    def is_right(tokens: Sequence[Token], one: NameSound) -> bool:
        """Return whether the tokens are the name as it is written."""
        return "".join([token.text for token in tokens]) == key_of(one.name)

    def _sharing_most(self, sound: str) -> list[int]:
        """Return the names that share most of their sounds, and of those heard."""
        import numpy as np

        parts = [self._sharing[part] for part in set(_parts(sound)) if part in self._sharing]
        if not parts:
            return []
        shared = np.bincount(np.concatenate(parts), minlength=len(self._names)) / (self._lengths + len(sound))
        most = np.argpartition(-shared, min(SHORTLIST, len(shared) - 1))[:SHORTLIST]
        return sorted(most.tolist(), key=lambda at: (-shared[at], at))

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


def _reach(tokens: Sequence[Token], first: int, stop: int) -> int:
    """Return how far a name may go that stops early at a comma, which a recogniser may have put inside it."""
    reach = stop
    if tokens[stop - 1].pause == 1 and stop - first <= BEFORE_COMMA:
        while reach < min(first + LONGEST, len(tokens)) and not _is_amount(tokens[reach]):
            reach += 1
            if tokens[reach - 1].pause:
                break
    return reach


def _left_over(tokens: Sequence[Token], sounds: Sequence[str], first: int, end: int, place_end: int) -> int:
    """Return the phonemes between a name and the pause or amount that ends its place; 0 where nothing ends it."""
    if not tokens[place_end - 1].pause and not (place_end < len(tokens) and _is_amount(tokens[place_end])):
        return 0
    return min(MOST_AFTER, sum(map(len, sounds[end - first : place_end - first])))


def _parts(sound: str) -> list[str]:
    """Return three sounds in a row, vowels made equal, and two consonants in a row, with the edges as sounds."""
    whole, key = f"^{skeleton(sound)}$", f"^{consonants(sound)}$"
    parts = [whole[at : at + 3] for at in range(len(whole) - 2)]
    return parts + [key[at : at + 2] for at in range(len(key) - 1)]


@lru_cache(maxsize=4)
def name_sounds(lexicon: Lexicon) -> NameSounds:
    """Return the sounds of a lexicon's names, made once."""
    return NameSounds(lexicon)
