"""The word clock: a time for every word, where the source times only whole captions or paragraphs."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise

WORDS_A_SECOND = 2.6
"""Pace of speech in a class, pauses left out; the annotated classes are laid out at it too."""

LETTERS_OF_A_BREAK = 1.5
"""What parts two words, in letters: the time of a short word is not in proportion to its letters alone."""

Span = tuple[float, float]


def share_span(texts: Sequence[str], start: float, end: float) -> list[Span]:
    """Share the seconds of a caption among its words by length: letters and :data:`LETTERS_OF_A_BREAK`.

    >>> share_span(["Two,", "squat", "low."], 10.0, 12.0)[1][0]
    10.628571428571428
    """
    edges = [0.0, *accumulate(len(text) + LETTERS_OF_A_BREAK for text in texts)]
    scale = (end - start) / edges[-1] if texts else 0.0
    times = [start + edge * scale for edge in edges]
    return list(pairwise(times))


def lay_out_paragraphs(paragraphs: Sequence[tuple[Sequence[str], float, float]]) -> list[list[Span]]:
    """Time the words of paragraphs ``(words, start, end)`` that are too long for :func:`share_span`."""
    return [share_span(texts, start, end) for texts, start, end in paragraphs]
