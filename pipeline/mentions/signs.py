"""Signs: phrases from the lexicon that help to read a class ("swap sides", "two rounds", "off we go").

A spaCy ``PhraseMatcher`` finds them over the words in lower case. One sign alone decides nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from spacy.matcher import PhraseMatcher
    from spacy.tokens import Doc
    from spacy.vocab import Vocab

Phrases = Mapping[str, Mapping[str, tuple[str, ...]]]


def phrase_parts(text: str) -> list[str]:
    """Split a phrase into matcher tokens: lower case, hyphens apart."""
    return [part for part in text.lower().replace("-", " ").split() if part]


def build_sign_matcher(vocab: Vocab, phrases: Phrases) -> PhraseMatcher:
    """Build the matcher; its labels are ``group/kind``, for example ``talk/switch``."""
    from spacy.matcher import PhraseMatcher
    from spacy.tokens import Doc

    matcher = PhraseMatcher(vocab, attr="ORTH")
    for group, kinds in phrases.items():
        for kind, entries in kinds.items():
            docs = [Doc(vocab, words=parts) for parts in map(phrase_parts, entries) if parts]
            matcher.add(f"{group}/{kind}", docs)
    return matcher


def find_signs(matcher: PhraseMatcher, doc: Doc, word_of: list[int]) -> list[tuple[str, int, int]]:
    """Return ``(label, first word, stop word)`` of every sign, in order of place.

    ``doc`` holds word parts in lower case; ``word_of[i]`` is the index of the word that token ``i`` is part of.
    """
    strings = doc.vocab.strings
    found = [(strings[label], word_of[start], word_of[stop - 1] + 1) for label, start, stop in matcher(doc)]
    return sorted(found, key=lambda one: (one[1], one[2], one[0]))
