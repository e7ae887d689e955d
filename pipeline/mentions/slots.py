"""Where a name is bound to stand ("next up, the …"), and the listed name that sounds most like what stands there.

A recogniser may write anything for a name that it does not know. Where a presenter plainly announces one, the
nearest name by sound may be taken from much farther off than in running talk; how far is up to the caller.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from pipeline.mentions.plain_speech import NUMBERS, PLAIN_SPEECH, SOUNDS_LIKE_A_LETTER
from pipeline.mentions.sounds import likeness, phonemes
from pipeline.mentions.tokens import Token, tokens_of

if TYPE_CHECKING:
    from lexicon import Lexicon

LONGEST = 5
"""How many words a misheard name may be spread over."""
REACH = 6
"""How many words of a frame are looked at."""
SHORTLIST = 6
"""How many names that share most of their sounds are compared phoneme by phoneme."""
LEAST_SHARED = 0.55
"""The least share of sounds (0 to 1, like ones made equal) to get onto the shortlist."""
SHORTEST = 4
"""Phonemes that a name has at least."""
LENGTHS = 0.4
"""A name may be longer or shorter than what was heard by this share."""

AT_HOME_LIKE_ENOUGH, FIRM_LIKE_ENOUGH = 0.8, 0.7
"""The least likeness where all words are a coach's own: they are more likely meant as they stand. The same
where a firm frame stands before them ("back to the on bar")."""

_FRAME = re.compile(
    r"\b(?:next up|next|first up|last up|up next|it's|its|it is|this is|that's|called|time for|ready for|now|now for"
    r"|back to|on to|onto|into|moving on to|straight into|here comes?|here's|we've got|we have|let's do|we'll do|doing"
    r"|next (?:one|move|exercise)?(?: is| it's| are)|(?:move|exercise|number|station|rung|block) \S+|for|are)"
    r"(?: ,)?(?: (?:the|a|an|our|some|those|these|my|your|more|into|it's))* $"
)
_ARTICLES = frozenset({"the", "a", "an", "our", "some", "those", "these", "my", "your"})
_NO_START = PLAIN_SPEECH - SOUNDS_LIKE_A_LETTER | _ARTICLES
_FIRM = frozenset({"up", "called", "to", "move", "exercise", "try", "do"})


@dataclass(frozen=True, slots=True)
class Sounding:
    """A listed name near to what was heard: exercise id, name, likeness (0 to 1), and the tokens heard."""

    exercise: str
    name: str
    score: float
    first: int
    stop: int


def find_slots(tokens: Sequence[Token], first: int, stop: int) -> list[tuple[int, int]]:
    """Return the ranges of tokens in which an announced name starts at the first one, as long as one may be."""
    found = []
    for at in range(first, stop):
        if tokens[at].plain in _NO_START or tokens[at].plain.isdigit() or tokens[at].plain in NUMBERS:
            continue
        lead = "".join(
            f"{token.plain} ," + " " if token.pause == 1 else f"{token.plain} "
            for token in tokens[max(first, at - REACH) : at]
        )
        if not _FRAME.search(lead):
            continue
        end = at
        while end < min(at + LONGEST, stop):
            end += 1
            if tokens[end - 1].pause or (end < stop and _is_amount(tokens[end])):
                break
        found.append((at, end))
    return found


def _is_amount(token: Token) -> bool:
    """Return whether a number says how many, not "one-arm" or "two-hand"."""
    number = token.plain.isdigit() or token.plain in NUMBERS
    return number and token.plain not in {"1", "2", "one", "two"}


def is_firm(tokens: Sequence[Token], at: int) -> bool:
    """Return whether an article, or a frame that announces nothing but names, stands right before token ``at``."""
    return at > 0 and (tokens[at - 1].plain in _ARTICLES or tokens[at - 1].plain in _FIRM)


class NameSounds:
    """All names of a lexicon as phonemes, to be searched for the nearest."""

    def __init__(self, lexicon: Lexicon) -> None:
        self._by_length: dict[int, list[tuple[str, str, str]]] = {}
        self._skeletons: dict[int, list[str]] = {}
        seen = set[str]()
        self._at_home = set(PLAIN_SPEECH) | NUMBERS
        for phrases in (*lexicon.phrases.get("cues", {}).values(), *lexicon.phrases.get("posture", {}).values()):
            self._at_home.update(token.text for phrase in phrases for token in tokens_of(phrase.split()))
        for phrases in lexicon.paraphrases.values():
            self._at_home.update(token.text for phrase in phrases for token in tokens_of(phrase.split()))
        for exercise in lexicon.exercises.values():
            for name in exercise.names:
                words = [token.text for token in tokens_of(name.split())]
                self._at_home.update(words)
                sound = "".join(map(phonemes, words))
                if sound in seen or len(sound) < SHORTEST or len(words) > LONGEST:
                    continue
                seen.add(sound)
                self._by_length.setdefault(len(sound), []).append((exercise.id, name, sound))
                self._skeletons.setdefault(len(sound), []).append(_skeleton(sound))

    def nearest(self, tokens: Sequence[Token], first: int, stop: int) -> list[Sounding]:
        """Return the names nearest to the words from ``first`` on, up to ``stop``, the best of each exercise."""
        best: dict[str, Sounding] = {}
        least = FIRM_LIKE_ENOUGH if is_firm(tokens, first) else AT_HOME_LIKE_ENOUGH
        for end in range(first + 1, stop + 1):
            said = [token.plain for token in tokens[first : end - 1]] + [tokens[end - 1].text]
            sound = "".join(map(phonemes, said))
            foreign = any(self.is_foreign(token) for token in tokens[first:end])
            for exercise, name, score in self._like(sound):
                if not foreign and score < least:
                    continue
                known = best.get(exercise)
                if known is None or score > known.score:
                    best[exercise] = Sounding(exercise, name, score, first, end)
        return sorted(best.values(), key=lambda one: -one.score)

    def is_foreign(self, token: Token) -> bool:
        """Return whether a word is none of a coach's own: in no name, cue or paraphrase, no plain speech."""
        return not token.plain.isdigit() and token.text not in self._at_home and token.plain not in self._at_home

    def _like(self, sound: str) -> list[tuple[str, str, float]]:
        from rapidfuzz.distance import Levenshtein
        from rapidfuzz.process import extract

        if len(sound) < SHORTEST:
            return []
        spread = max(1, round(LENGTHS * len(sound)))
        query, found = _skeleton(sound), []
        for length in range(max(SHORTEST, len(sound) - spread), len(sound) + spread + 1):
            skeletons = self._skeletons.get(length)
            if skeletons is None:
                continue
            for _, _, at in extract(
                query, skeletons, scorer=Levenshtein.normalized_similarity, score_cutoff=LEAST_SHARED, limit=SHORTLIST
            ):
                exercise, name, meant = self._by_length[length][at]
                found.append((exercise, name, round(likeness(sound, meant), 3)))
        return sorted(found, key=lambda one: -one[2])[:SHORTLIST]


def _skeleton(sound: str) -> str:
    """Return a sound with like phonemes made equal and all vowels one."""
    return sound.translate(_LIKE)


_LIKE = str.maketrans("bdgvzZjCSDNuoWYeREiIOQUwAaE", "ptkfsssssTn" + "a" * 16)


@lru_cache(maxsize=4)
def name_sounds(lexicon: Lexicon) -> NameSounds:
    """Return the sounds of a lexicon's names, made once."""
    return NameSounds(lexicon)
