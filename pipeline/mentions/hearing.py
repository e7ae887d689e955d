"""Names that were heard alike: a recogniser writes "god let's quads" where a coach said "goblet squats".

The names that a window of words may be are looked up by their consonants (``sounded_names.py``), and compared
phoneme by phoneme. A second way starts from a word that was heard right ("kneeling inch"): the rest may then be
less alike, but the name has to be announced.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from pipeline.mentions.plain_speech import PLAIN_SPEECH
from pipeline.mentions.sounded_names import LONG_KEY, LONGEST_WINDOW, SoundedName, SoundedNames, ends_of, key_end
from pipeline.mentions.sounds import SIBILANTS, likeness, phonemes
from pipeline.mentions.spoken_words import SpokenWord, describe
from pipeline.mentions.tokens import Token

LIKE_ENOUGH = 0.81
"""The least likeness of sound (0 to 1); fitted so that ordinary talk gives less than one false name in
1,000 words."""
SHORT_LIKE_ENOUGH = 0.85
"""The same for names with fewer consonants than ``LONG_KEY``: chance finds more of them."""
SHARED_LIKE_ENOUGH = 0.78
"""The same where the name and the words share a word ("glue bridge"): the rest is compared by itself as
well."""
MADE_UP_LIKE_ENOUGH = 0.76
"""The same where a word stands in no dictionary ("ruler vay"): a recogniser made it up for something."""
SPELLED_LIKE_ENOUGH = 0.6
"""The same for a name of letters ("RDL") of which all consonants are right: vowels of letters run
together."""
NUMBER_LIKE_ENOUGH = 0.93
"""The same where a number is among the words ("four arm plank"): nearly always it is a number."""
AT_HOME_LIKE_ENOUGH = 0.93
"""The same where all words are a coach's own ("kick bags", "wall seat"); it has to be announced as well."""
REST_LIKE_ENOUGH = 0.75
"""The least likeness of what is left of words and name without the words that they share ("girl" and
"curl")."""
ANNOUNCED_REST_LIKE_ENOUGH = 0.66
"""The same where the name is announced ("for the kneeling inch")."""
RERUN_LIKE_ENOUGH = 0.88
"""The same where a coach's own words run together otherwise ("kettle belt" and "kettlebell")."""
LONGEST_HALF_HEARD = 4
"""How many words a name may be spread over of which one was heard right."""
SHORTEST_REST = 3
"""Phonemes that the rest has at least, to be compared at all."""
LENGTH_EVENED = 20
"""Of names heard at one place the longer wins if it is nearly as alike; the greater this is, the nearer."""
SPELT_ALIKE = 0.8
"""From this likeness of letters (0 to 1) on, it is told as a slip of spelling, not of hearing."""

How = Literal["spelling", "sound"]


@dataclass(frozen=True, slots=True)
class Heard:
    """A name heard alike: the range of tokens, the listed name, the likeness (0 to 1), and how it was told.

    ``faint``: only part of it was heard right, so it counts only where it is announced.
    """

    first: int
    stop: int
    name: str
    score: float
    how: How
    faint: bool = False


@dataclass(frozen=True, slots=True)
class _Window:
    """Words that may be a name, with their phonemes and consonants, the last word in the singular.

    ``foreign``: a word is none of a coach's own; ``number``: one is a number.
    """

    words: Sequence[SpokenWord]
    sound: str
    key: str
    foreign: bool
    number: bool

    def least(self) -> float:
        """Return the likeness that any name has to reach; 0 where that is up to the kind of name."""
        return NUMBER_LIKE_ENOUGH if self.number else 0.0 if self.foreign else AT_HOME_LIKE_ENOUGH


@dataclass(frozen=True, slots=True)
class _Match:
    name: SoundedName
    score: float
    faint: bool


class SoundIndex:
    """The sounds of all names that can be recognised by ear: two words or more, or one rare long word.

    ``coaching`` is text from the trade (names and cues). A window whose words all come from there is good
    talk of a coach ("knees track"), not a misheard name ("knee strike"): one word at least has to be
    foreign to it. ``loose_words`` stand before any noun ("full", "slow"), so that hearing one tells nothing
    of the next word.
    """

    def __init__(self, names: Iterable[str], coaching: Iterable[str] = (), loose_words: Iterable[str] = ()) -> None:
        self._names = SoundedNames(names)
        self._loose_words = set(loose_words)
        self._at_home = set(PLAIN_SPEECH)
        for text in coaching:
            self._at_home.update(re.findall(r"[a-z']+", text.lower()))
        self._word = lru_cache(maxsize=32768)(self._describe)

    def find(self, tokens: Sequence[Token], taken: Sequence[tuple[int, int]]) -> list[Heard]:
        """Return what was heard alike outside the ranges ``taken``, the best of what overlaps."""
        busy = bytearray(len(tokens))
        for first, stop in taken:
            busy[first:stop] = b"\1" * (stop - first)
        words = [self._word(token.text, token.plain) for token in tokens]
        found = list[Heard]()
        for first, word in enumerate(words):
            if not busy[first] and (word.letter or not word.plain_speech):
                found += self._heard_from(tokens, words, first, busy)
        found.sort(key=lambda one: (one.faint, -one.score * (one.stop - one.first + LENGTH_EVENED), one.first))
        kept = list[Heard]()
        for one in found:
            if not any(busy[one.first : one.stop]):
                busy[one.first : one.stop] = b"\1" * (one.stop - one.first)
                kept.append(one)
        return sorted(kept, key=lambda one: one.first)

    def _heard_from(
        self, tokens: Sequence[Token], words: Sequence[SpokenWord], first: int, busy: bytearray
    ) -> list[Heard]:
        """Return what was heard in the windows that begin at a word."""
        found = list[Heard]()
        key = sound = ""
        foreign = number = False
        counts = True
        led_in = first == 0 or tokens[first - 1].pause > 0 or words[first - 1].leads_in
        for stop in range(first + 1, min(first + LONGEST_WINDOW, len(tokens)) + 1):
            word = words[stop - 1]
            if busy[stop - 1] or word.digits:
                break
            number, counts, foreign = number or word.number, counts and word.counts, foreign or word.foreign
            if not counts and (not word.plain_speech or (foreign and word.ends_names)):
                several, match = stop - first > 1, None
                if (foreign or (several and led_in)) and (several or word.is_made_up):
                    whole = key_end(key + word.singular_key)
                    names = self._names.near(whole)
                    if names:
                        window = _Window(words[first:stop], sound + word.singular, whole, foreign, number)
                        match = _nearest(window, names)
                if match is None and several and stop - first <= LONGEST_HALF_HEARD and not number:
                    match = self._half_heard(words[first:stop], foreign, led_in)
                if match is not None:
                    how = _how_heard(words[first:stop], match.name)
                    found.append(Heard(first, stop, match.name.name, round(match.score, 3), how, match.faint))
            sound, key = sound + word.sound, key + word.key
            if tokens[stop - 1].pause or len(key) > self._names.longest_key:
                break
        return found

    def _half_heard(self, words: Sequence[SpokenWord], foreign: bool, led_in: bool) -> _Match | None:
        """Return the name of two or three words that shares the first or the last word, and sounds nearest.

        Words that a coach says anyway (none is foreign) have to be as many as the name's, and nearer to it.
        """
        best: SoundedName | None = None
        best_rest = ANNOUNCED_REST_LIKE_ENOUGH if foreign and led_in else REST_LIKE_ENOUGH
        ways = [(self._names.ending_with(words[-1].text), words[:-1])]
        if foreign and led_in and words[0].text not in self._loose_words:
            ways.append((self._names.beginning_with(words[0].text), words[1:]))
        for names, rest in ways:
            if not names or (foreign and not any(word.foreign for word in rest)):
                continue
            sound = "".join([word.singular for word in rest])
            if len(sound) < SHORTEST_REST:
                continue
            for end in ends_of(sound):
                for one, meant in names.get(end, ()):
                    rerun = not foreign and len(one.words) != len(words)
                    needed = max(best_rest, RERUN_LIKE_ENOUGH) if rerun else best_rest
                    longer = max(len(sound), len(meant))
                    if 1.0 - abs(len(sound) - len(meant)) / longer < needed:  # Told before a call is made: most are.
                        continue
                    score = likeness(sound, meant, needed)
                    if score >= needed and meant != sound:
                        best, best_rest = one, score
        return None if best is None else _Match(best, best_rest, True)

    def _describe(self, text: str, plain: str) -> SpokenWord:
        return describe(text, plain, self._names, self._at_home)


def _nearest(window: _Window, names: Sequence[SoundedName]) -> _Match | None:
    """Return the name that sounds nearest to a window, and near enough for what it is."""
    words, least = window.words, window.least()
    letters = "".join([word.text for word in words])
    letter = words[0].letter
    made_up = not all(word.known or word.listed for word in words)
    plural = words[-1].plain != words[-1].text
    best: SoundedName | None = None
    best_score = 0.0
    for one in names:
        if (letter and not one.spelled_out) or one.letters == letters:
            continue
        needed = max(best_score, least or SPELLED_LIKE_ENOUGH)
        score = _likeness_in_any_number(window.sound, one.sound, needed)
        if plural:
            score = max(score, likeness(window.sound + "z", one.sound, needed))
        if score <= best_score:
            continue
        shared = _shared_ends(words, one.words)
        if shared is not None and _rest_likeness(words, one.words, shared) < REST_LIKE_ENOUGH:
            continue
        if score >= (least or _least(one, window.key, letter, shared is not None, made_up)):
            best, best_score = one, score
    return None if best is None else _Match(best, best_score, not window.foreign)


def _how_heard(words: Sequence[SpokenWord], name: SoundedName) -> How:
    from rapidfuzz.distance import Indel

    letters = "".join(word.text for word in words)
    return "spelling" if Indel.normalized_similarity(letters, name.letters) >= SPELT_ALIKE else "sound"


def _likeness_in_any_number(sound: str, meant: str, least: float = 0.0) -> float:
    """Return the likeness, where a last s may be a plural's ("renegade rose")."""
    score = likeness(sound, meant, least)
    return max(score, likeness(sound, meant + "z", least)) if sound[-1] in SIBILANTS else score


def _least(one: SoundedName, key: str, letter: bool, shares_words: bool, made_up: bool) -> float:
    """Return the least likeness that is enough for this name."""
    if letter and key == one.key:
        return SPELLED_LIKE_ENOUGH
    if made_up:
        return MADE_UP_LIKE_ENOUGH
    if shares_words:
        return SHARED_LIKE_ENOUGH
    return LIKE_ENOUGH if len(key) >= LONG_KEY else SHORT_LIKE_ENOUGH


def _shared_ends(window: Sequence[SpokenWord], words: Sequence[str]) -> tuple[int, int] | None:
    """Return how many words both share at the start and at the end; ``None`` where none."""
    first, last = 0, 0
    fewer = min(len(window), len(words))
    while first < fewer and window[first].text == words[first]:
        first += 1
    while last < fewer - first and window[-1 - last].text == words[-1 - last]:
        last += 1
    return (first, last) if first or last else None


def _rest_likeness(window: Sequence[SpokenWord], words: Sequence[str], shared: tuple[int, int]) -> float:
    """Return how alike the words sound that are not shared; the last may be, or only look, a plural."""
    first, last = shared
    rest = window[first : len(window) - last]
    said = "".join(word.singular for word in rest)
    meant = "".join(phonemes(word) for word in words[first : len(words) - last])
    if not said or not meant:
        return 0.0
    plain = "".join(word.sound for word in rest)
    return max(_likeness_in_any_number(said, meant), likeness(plain, meant))
