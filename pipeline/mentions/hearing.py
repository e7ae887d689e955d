"""Names that were heard alike: a recogniser writes "god let's quads" where a coach said "goblet squats".

:class:`SoundIndex` keeps every name's consonants, vowels left out and like ones made equal (p and b, t and
d …), under the key itself and under the key with one or two consonants dropped: two keys that meet in this
way are at most one or two mishearings apart (the symmetric deletion method), so a window of words costs a
few look-ups, not a scan. The few names that meet are then compared phoneme by phoneme. A second way starts
from a word that was heard right ("kneeling inch"): the rest may then be less alike, but the name has to be
announced.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import Literal

from pipeline.mentions.numbers import TENS, UNITS
from pipeline.mentions.plain_speech import LEADING_IN, NUMBERS, PLAIN_SPEECH, SOUNDS_LIKE_A_LETTER
from pipeline.mentions.sounds import SIBILANTS, consonants, is_word, likeness, phonemes
from pipeline.mentions.tokens import Token, name_tokens

LONGEST_WINDOW = 5
"""How many words a misheard name may be spread over."""
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
SHORTEST_KEY, LONG_KEY, VERY_LONG_KEY = 3, 5, 9
"""Consonants: a name with fewer than the first is never heard alike; up to the second one must be equal but
for one put in; from the third on, two may be lost."""
LONGEST_HALF_HEARD = 4
"""How many words a name may be spread over of which one was heard right."""
SHORTEST_REST = 3
"""Phonemes that the rest has at least, to be compared at all."""
LENGTH_EVENED = 20
"""Of names heard at one place the longer wins if it is nearly as alike; the greater this is, the nearer."""
SPELT_ALIKE = 0.8
"""From this likeness of letters (0 to 1) on, it is told as a slip of spelling, not of hearing."""

How = Literal["spelling", "sound"]

_FIGURE, _VOWEL = re.compile(r"\d"), re.compile("[aeiouy]")


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
class _Sounding:
    name: str
    letters: str
    sound: str
    key: str
    words: tuple[str, ...]
    spelled_out: bool


class SoundIndex:
    """The sounds of all names that can be recognised by ear: two words or more, or one rare long word.

    ``coaching`` is text from the trade (names and cues). A window whose words all come from there is good
    talk of a coach ("knees track"), not a misheard name ("knee strike"): one word at least has to be
    foreign to it. ``loose_words`` stand before any noun ("full", "slow"), so that hearing one tells nothing
    of the next word.
    """

    def __init__(self, names: Iterable[str], coaching: Iterable[str] = (), loose_words: Iterable[str] = ()) -> None:
        self._names: list[_Sounding] = []
        self._by_key: dict[str, list[int]] = defaultdict(list)
        self._by_shared: dict[tuple[str, str], list[tuple[_Sounding, str]]] = defaultdict(list)
        self._loose_words = set(loose_words)
        self._at_home = set(PLAIN_SPEECH)
        self._listed, self._last_words = set[str](), set[str]()
        for text in coaching:
            self._at_home.update(re.findall(r"[a-z']+", text.lower()))
        for name in names:
            self._add(name)
        self._longest = max(map(len, self._by_key), default=0) + 2

    def find(self, tokens: Sequence[Token], taken: Sequence[tuple[int, int]]) -> list[Heard]:
        """Return what was heard alike outside the ranges ``taken``, the best of what overlaps."""
        busy = bytearray(len(tokens))
        for first, stop in taken:
            busy[first:stop] = b"\1" * (stop - first)
        foreign = [self._is_foreign(token) for token in tokens]
        found = list[Heard]()
        for first, token in enumerate(tokens):
            letter = token.plain in SOUNDS_LIKE_A_LETTER
            if not busy[first] and (letter or token.plain not in PLAIN_SPEECH):
                found += self._windows(tokens, first, busy, letter, foreign)
        found.sort(key=lambda one: (one.faint, -one.score * (one.stop - one.first + LENGTH_EVENED), one.first))
        kept = list[Heard]()
        for one in found:
            if not any(busy[one.first : one.stop]):
                busy[one.first : one.stop] = b"\1" * (one.stop - one.first)
                kept.append(one)
        return sorted(kept, key=lambda one: one.first)

    def _windows(
        self, tokens: Sequence[Token], first: int, busy: bytearray, letter: bool, foreigns: Sequence[bool]
    ) -> Iterator[Heard]:
        key = sound = ""
        foreign = number = False
        counts = True
        led_in = first == 0 or tokens[first - 1].pause > 0 or tokens[first - 1].plain in LEADING_IN
        for stop in range(first + 1, min(first + LONGEST_WINDOW, len(tokens)) + 1):
            token = tokens[stop - 1]
            plain, text = token.plain, token.text
            if busy[stop - 1] or plain.isdigit():
                return
            number = number or plain in NUMBERS
            counts = counts and (plain in UNITS or plain in TENS)
            foreign = foreign or foreigns[stop - 1]
            at_end = plain not in PLAIN_SPEECH or (foreign and text in self._last_words)
            found = None
            several = stop - first > 1
            if at_end and (several or _is_made_up(token)) and (foreign or (several and led_in)) and not counts:
                # The last word in the singular, as the names are kept.
                last, last_key = _sound_and_key(text)
                least = NUMBER_LIKE_ENOUGH if number else 0.0 if foreign else AT_HOME_LIKE_ENOUGH
                window = tokens[first:stop]
                found = self._nearest(_key_end(key + last_key), sound + last, window, letter, least, not foreign)
            if found is None and at_end and several and stop - first <= LONGEST_HALF_HEARD and not (number or counts):
                found = self._half_heard(tokens[first:stop], foreigns[first:stop], led_in)
            if found is not None:
                name, score, faint = found
                yield Heard(first, stop, name.name, round(score, 3), _how(tokens[first:stop], name), faint)
            said, said_key = _sound_and_key(plain)
            sound, key = sound + said, key + said_key
            if token.pause or len(key) > self._longest:
                return

    def _is_foreign(self, token: Token) -> bool:
        # "Lefts" is no plural of a name's word, however many names hold "left".
        listed = token.text in self._listed and token.text not in PLAIN_SPEECH
        return not (listed or token.plain in self._at_home)

    def _nearest(
        self, key: str, sound: str, window: Sequence[Token], letter: bool, least: float, faint: bool
    ) -> tuple[_Sounding, float, bool] | None:
        """Return the name that sounds nearest and near enough (``least``; 0: as much as its kind needs)."""
        if len(key) < SHORTEST_KEY:
            return None
        candidates = self._candidates(key)
        if not candidates:
            return None
        letters = "".join([token.text for token in window])
        made_up = not all(_is_known(token) or token.text in self._listed for token in window)
        said = sound + "z" if window[-1].plain != window[-1].text else sound
        best: _Sounding | None = None
        best_score = 0.0
        for at in candidates:
            one = self._names[at]
            if (letter and not one.spelled_out) or one.letters == letters:
                continue
            needed = max(best_score, least or SPELLED_LIKE_ENOUGH)
            score = max(_likeness_in_any_number(sound, one.sound, needed), likeness(said, one.sound, needed))
            if score <= best_score:
                continue
            shared = _shared_ends(window, one.words)
            if shared is not None and _rest_likeness(window, one.words, shared) < REST_LIKE_ENOUGH:
                continue
            if score >= (least or _least(one, key, letter, shared is not None, made_up)):
                best, best_score = one, score
        return None if best is None else (best, best_score, faint)

    def _half_heard(
        self, window: Sequence[Token], foreigns: Sequence[bool], led_in: bool
    ) -> tuple[_Sounding, float, bool] | None:
        """Return the name of two or three words that shares the first or the last word, and sounds nearest.

        Words that a coach says anyway (none is foreign) have to be as many as the name's, and nearer to it.
        """
        foreign = any(foreigns)
        best: _Sounding | None = None
        best_rest = ANNOUNCED_REST_LIKE_ENOUGH if foreign and led_in else REST_LIKE_ENOUGH
        ways = [(window[-1], window[:-1], foreigns[:-1], -1)]
        if foreign and led_in and window[0].text not in self._loose_words:
            ways.append((window[0], window[1:], foreigns[1:], 0))
        for shared, rest, others, place in ways:
            if not rest or (foreign and not any(others)):
                continue
            sound = "".join(phonemes(token.text) for token in rest)
            if len(sound) < SHORTEST_REST:
                continue
            ends = consonants(sound)
            for end in ("<" + ends[:1], ">" + ends[-1:]):
                for one, meant in self._by_shared.get((shared.text, end), ()):
                    if one.words[place] != shared.text:
                        continue
                    score = likeness(sound, meant, best_rest)
                    if not foreign and len(one.words) != len(window) and score < RERUN_LIKE_ENOUGH:
                        continue
                    if score >= best_rest and meant != sound:
                        best, best_rest = one, score
        return None if best is None else (best, best_rest, True)

    def _candidates(self, key: str) -> set[int]:
        found = set(self._by_key.get(key, ()))
        if len(key) > SHORTEST_KEY:
            for shorter in _shortened(key, 1):
                found.update(self._by_key.get(shorter, ()))
        return found

    def _add(self, name: str) -> None:
        tokens = name_tokens(name)
        self._listed.update(token.text for token in tokens)
        self._last_words.add(tokens[-1].text)
        if len(tokens) > LONGEST_WINDOW or _FIGURE.search(name):
            return
        sounds = [phonemes(token.plain) for token in tokens[:-1]] + [phonemes(tokens[-1].text)]
        sound = "".join(sounds)
        key = _key_end(consonants(sound))
        if len(key) < SHORTEST_KEY or (len(tokens) == 1 and len(sound) < 4):
            return
        words = tuple(token.text for token in tokens)
        spelled_out = any(len(word) <= 4 and not _VOWEL.search(word) for word in words)
        one = _Sounding(name, "".join(words), sound, key, words, spelled_out)
        self._names.append(one)
        keys = {key}
        if len(key) >= LONG_KEY:
            keys |= _shortened(key, 2 if len(key) >= VERY_LONG_KEY else 1)
        for each in keys:
            self._by_key[each].append(len(self._names) - 1)
        if len(words) in {2, 3}:
            for shared, rest in ((words[-1], "".join(sounds[:-1])), (words[0], "".join(sounds[1:]))):
                ends = consonants(rest)
                for end in ("<" + ends[:1], ">" + ends[-1:]):
                    self._by_shared[shared, end].append((one, rest))


@lru_cache(maxsize=32768)
def _sound_and_key(word: str) -> tuple[str, str]:
    sound = phonemes(word)
    return sound, consonants(sound)


def _how(window: Sequence[Token], name: _Sounding) -> How:
    from rapidfuzz.distance import Indel

    letters = "".join(token.text for token in window)
    return "spelling" if Indel.normalized_similarity(letters, name.letters) >= SPELT_ALIKE else "sound"


def _likeness_in_any_number(sound: str, meant: str, least: float = 0.0) -> float:
    """Return the likeness, where a last s may be a plural's ("renegade rose")."""
    score = likeness(sound, meant, least)
    return max(score, likeness(sound, meant + "z", least)) if sound[-1] in SIBILANTS else score


def _is_made_up(token: Token) -> bool:
    """Return whether a word by itself may be a misheard name: in no dictionary, and no other abbreviation ("CHR")."""
    return not _is_known(token) and _VOWEL.search(token.plain) is not None


def _is_known(token: Token) -> bool:
    return is_word(token.plain) or is_word(token.text)


def _least(one: _Sounding, key: str, letter: bool, shares_words: bool, made_up: bool) -> float:
    """Return the least likeness that is enough for this name."""
    if letter and key == one.key:
        return SPELLED_LIKE_ENOUGH
    if made_up:
        return MADE_UP_LIKE_ENOUGH
    if shares_words:
        return SHARED_LIKE_ENOUGH
    return LIKE_ENOUGH if len(key) >= LONG_KEY else SHORT_LIKE_ENOUGH


def _shared_ends(window: Sequence[Token], words: Sequence[str]) -> tuple[int, int] | None:
    """Return how many words both share at the start and at the end; ``None`` where none."""
    first, last = 0, 0
    fewer = min(len(window), len(words))
    while first < fewer and window[first].text == words[first]:
        first += 1
    while last < fewer - first and window[-1 - last].text == words[-1 - last]:
        last += 1
    return (first, last) if first or last else None


def _rest_likeness(window: Sequence[Token], words: Sequence[str], shared: tuple[int, int]) -> float:
    """Return how alike the words sound that are not shared; the last may be, or only look, a plural."""
    first, last = shared
    rest = window[first : len(window) - last]
    said = "".join(phonemes(token.text) for token in rest)
    meant = "".join(phonemes(word) for word in words[first : len(words) - last])
    if not said or not meant:
        return 0.0
    plain = "".join(phonemes(token.plain) for token in rest)
    return max(_likeness_in_any_number(said, meant), likeness(plain, meant))


def _key_end(key: str) -> str:
    """Return a key without a last sibilant: whether a name was said in the plural makes no difference."""
    return key[:-1] if key.endswith("s") else key


def _shortened(key: str, most: int) -> set[str]:
    """Return the key with one consonant dropped, and, for ``most`` 2, with two that are not its first."""
    shorter = {key[:at] + key[at + 1 :] for at in range(len(key))}
    if most > 1:
        shorter |= {key[0] + "".join(kept) for kept in combinations(key[1:], len(key) - 3)}
    return shorter
