"""Speakers who are named in the text itself, in the form ``NESSA: Hips back.``"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from pipeline.transcripts.base import Token, tokens

LABEL = re.compile(r"^[ \t]*(?:-[ \t]*|>>[ \t]*)?([A-Z][A-Z.'’ -]{0,23}[A-Z]):[ \t]+", re.MULTILINE)

FEWEST_LABELS = 2
"""Of each name: a word in capitals before a colon that stands once is a heading ("REST: ten seconds")."""

LABELLED_SHARE = 0.25
"""Of all passages: names are put before them at every change, so of two presenters at least so often."""


def find_speakers(texts: Sequence[str]) -> frozenset[str]:
    """Return the names that label the lines of a transcript's passages; none where that is not clear."""
    counted = Counter(name for text in texts for name in LABEL.findall(text))
    names = frozenset(name for name, times in counted.items() if times >= FEWEST_LABELS)
    labelled = sum(any(name in names for name in LABEL.findall(text)) for text in texts)
    return names if len(names) > 1 and labelled >= LABELLED_SHARE * len(texts) else frozenset()


def label_tokens(text: str, speakers: frozenset[str]) -> tuple[Token, ...]:
    """Cut a text into words, the labels of ``speakers`` taken off and kept with the words after them."""
    words: list[Token] = []
    position, speaker = 0, None
    for match in LABEL.finditer(text):
        if match[1] in speakers:
            words += tokens(text[position : match.start()], speaker)
            position, speaker = match.end(), match[1]
    return (*words, *tokens(text[position:], speaker))
