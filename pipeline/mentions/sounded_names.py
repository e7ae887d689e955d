"""The names that can be recognised by ear: two words or more, or one rare long word, by what is heard of them.

:class:`SoundedNames` keeps every name's consonants, vowels left out and like ones made equal (p and b, t and
d …), under the key itself and under the key with one or two consonants dropped: two keys that meet in this
way are at most one or two mishearings apart (the symmetric deletion method), so that a window of words costs a
few look-ups, not a scan.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from pipeline.mentions.sounds import consonants, phonemes
from pipeline.mentions.tokens import name_tokens

LONGEST_WINDOW = 5
"""How many words a misheard name may be spread over."""
SHORTEST_KEY, LONG_KEY, VERY_LONG_KEY = 3, 5, 9
"""Consonants: a name with fewer than the first is never heard alike; up to the second one must be equal but
for one put in; from the third on, two may be lost."""
SHORTEST_SOUND = 4
"""Phonemes that a name of one word has at least."""

_FIGURE, _VOWEL = re.compile(r"\d"), re.compile("[aeiouy]")


@dataclass(slots=True)
class SoundedName:
    """A listed name: as written, its letters, phonemes, and consonants made alike, and its words in the singular.

    ``spelled_out``: a part of it is said letter by letter ("RDL").
    """

    name: str
    letters: str
    sound: str
    key: str
    words: tuple[str, ...]
    spelled_out: bool


PartHeard = Mapping[str, Sequence[tuple[SoundedName, str]]]
"""By the first (``<``) or last (``>``) consonant of what is left of a name: names, each with the phonemes left."""


class SoundedNames:
    """Names by their consonants, and names of two or three words by their first and last word."""

    def __init__(self, names: Iterable[str]) -> None:
        self.words, self.last_words = set[str](), set[str]()
        self._names: list[SoundedName] = []
        self._by_key: dict[str, tuple[int, ...]] = {}
        self._by_first: dict[str, dict[str, list[tuple[SoundedName, str]]]] = {}
        self._by_last: dict[str, dict[str, list[tuple[SoundedName, str]]]] = {}
        for name in names:
            self._add_name(name)
        self.longest_key = max(map(len, self._by_key), default=0) + 2

    def near(self, key: str) -> list[SoundedName]:
        """Return the names whose consonants are at most one or two mishearings from ``key``, in the order listed."""
        if len(key) < SHORTEST_KEY:
            return []
        found = set(self._by_key.get(key, ()))
        if len(key) > SHORTEST_KEY:
            for at in range(len(key)):
                met = self._by_key.get(key[:at] + key[at + 1 :])
                if met is not None:
                    found.update(met)
        return [self._names[at] for at in sorted(found)]

    def beginning_with(self, word: str) -> PartHeard:
        """Return the names of two or three words that begin with a word, with the sound of the rest."""
        return self._by_first.get(word, {})

    def ending_with(self, word: str) -> PartHeard:
        """Return the names of two or three words that end with a word, with the sound of the rest."""
        return self._by_last.get(word, {})

    def _add_name(self, name: str) -> None:
        tokens = name_tokens(name)
        words = tuple([token.text for token in tokens])
        self.words.update(words)
        self.last_words.add(words[-1])
        if len(tokens) > LONGEST_WINDOW or _FIGURE.search(name):
            return
        sounds = [phonemes(token.plain) for token in tokens[:-1]]
        sounds.append(phonemes(words[-1]))
        sound = "".join(sounds)
        key = key_end(consonants(sound))
        if len(key) < SHORTEST_KEY or (len(tokens) == 1 and len(sound) < SHORTEST_SOUND):
            return
        spelled_out = any(len(word) <= 4 and not _VOWEL.search(word) for word in words)
        one = SoundedName(name, "".join(words), sound, key, words, spelled_out)
        alone = (len(self._names),)
        self._names.append(one)
        for each in _keys_of(key):
            owners = self._by_key.setdefault(each, alone)
            if owners is not alone:
                self._by_key[each] = owners + alone
        if len(words) in {2, 3}:
            _add_part(self._by_last.setdefault(words[-1], defaultdict(list)), one, "".join(sounds[:-1]))
            _add_part(self._by_first.setdefault(words[0], defaultdict(list)), one, "".join(sounds[1:]))


def key_end(key: str) -> str:
    """Return a key without a last sibilant: whether a name was said in the plural makes no difference."""
    return key[:-1] if key.endswith("s") else key


def ends_of(sound: str) -> tuple[str, str]:
    """Return the two keys of :data:`PartHeard` that a string of phonemes has."""
    key = consonants(sound)
    return "<" + key[:1], ">" + key[-1:]


def _add_part(parts: dict[str, list[tuple[SoundedName, str]]], one: SoundedName, rest: str) -> None:
    for end in ends_of(rest):
        parts[end].append((one, rest))


def _keys_of(key: str) -> set[str]:
    """Return a key; a long one with one consonant dropped as well, a very long one with two that are not its first."""
    keys = {key}
    if len(key) >= LONG_KEY:
        keys.update([key[:at] + key[at + 1 :] for at in range(len(key))])
    if len(key) >= VERY_LONG_KEY:
        first = key[0]
        keys.update([first + kept for kept in map("".join, combinations(key[1:], len(key) - 3))])
    return keys
