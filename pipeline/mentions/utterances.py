"""Utterances: the short stretches of speech that the rest of the house thinks in.

Captions, recogniser segments and stamped paragraphs cut speech in different places. An utterance is cut where
the *speech* pauses (or, where the clock is too coarse to show pauses, at the punctuation), so that the same
class gives the same utterances however its captions were split.
"""

from __future__ import annotations

import itertools
import re
from dataclasses import dataclass

from pipeline.model import Transcript

#: A silence of this many seconds between two words ends an utterance (cue and word timing). Captions that
#: follow one another without a pause are usually 0.1 s or more apart; words inside one touch.
PAUSE = 0.08
#: With word timing, recognisers leave small holes between all words; only this many seconds is a pause.
WORD_PAUSE = 0.55
#: More words than this are cut at the next sentence end even where nobody paused.
LONGEST = 18
#: In coarse text without punctuation, a stretch is cut after this many words.
COARSE_LONGEST = 9

_SENTENCE_END = re.compile(r"[.!?…]+[\"')\]]*$")
_CLAUSE_END = re.compile(r"[,;:.!?…–—]+[\"')\]]*$")
_EDGE = re.compile(r"^[^\w]+|[^\w]+$")


@dataclass(frozen=True, slots=True)
class Utterance:
    """Words ``first`` to ``stop`` (exclusive), spoken from ``start`` to ``end`` (seconds)."""

    first: int
    stop: int
    start: float
    end: float


def normalise(word: str) -> str:
    """Return a word in lower case without the punctuation around it; apostrophes become straight."""
    return _EDGE.sub("", word.lower().replace("’", "'").replace("‘", "'"))


def cut_utterances(transcript: Transcript, starts_number: frozenset[int] = frozenset()) -> list[Utterance]:
    """Cut a transcript into utterances, in order, every word in exactly one.

    ``starts_number`` are the indices of words that begin a number: coarse text without punctuation is cut
    before them.
    """
    words = transcript.words
    if not words:
        return []
    if transcript.source.timing == "coarse":
        breaks = _coarse_breaks(transcript, starts_number)
    else:
        breaks = _pause_breaks(transcript)
    edges = [0, *breaks, len(words)]
    return [
        Utterance(a, b, words[a].start, max(words[b - 1].end, words[a].start))
        for a, b in itertools.pairwise(edges)
        if b > a
    ]


def _pause_breaks(transcript: Transcript) -> list[int]:
    words = transcript.words
    piece_starts = {piece.first for piece in transcript.pieces}
    by_word = transcript.source.timing == "word"
    breaks, begun = [], 0
    for k in range(1, len(words)):
        gap = words[k].start - words[k - 1].end
        paused = gap >= WORD_PAUSE or (gap >= PAUSE and (k in piece_starts or not by_word))
        if not paused and k - begun >= LONGEST:
            paused = bool(_SENTENCE_END.search(words[k - 1].text)) or k - begun >= 2 * LONGEST
        if not paused and words[k].speaker != words[k - 1].speaker:
            paused = True
        if paused:
            breaks.append(k)
            begun = k
    return breaks


def _coarse_breaks(transcript: Transcript, starts_number: frozenset[int]) -> list[int]:
    words = transcript.words
    ends = sum(1 for word in words if _SENTENCE_END.search(word.text))
    punctuated = ends * 25 > len(words)
    breaks, begun = [], 0
    for k in range(1, len(words)):
        before = words[k - 1].text
        length = k - begun
        if punctuated:
            cut = bool(_SENTENCE_END.search(before)) or (length >= 6 and bool(_CLAUSE_END.search(before)))
        else:
            lead = k + 1 in starts_number and normalise(words[k].text) in {"and", "that's", "is"}
            led = k - 1 == begun and normalise(before) in {"and", "that's", "is"}
            cut = (
                length >= COARSE_LONGEST
                or (length >= 3 and lead)
                or (length >= 2 and k in starts_number and k - 1 not in starts_number and not led)
            )
        if cut:
            breaks.append(k)
            begun = k
    return breaks
