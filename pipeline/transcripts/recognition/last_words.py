"""The last word of a sentence, where the recogniser gave it no time: said before the pause, not after it.

In "over, four. Back, two" the recogniser now and then puts "four" into the silence before "Back" and lets it last
no time at all, so that it falls to the voice that comes next. Its full stop tells which sentence it belongs to.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.model import Word
from pipeline.transcripts.counts import SENTENCE_ENDS
from pipeline.transcripts.recognition.speech import LEAST_SILENCE

NO_TIME = 0.03
"""Seconds. Of 532 words this short in 24 recordings of spoken classes none was said in so little; the recogniser tells
time in steps of 0.02."""


def end_sentences(words: Sequence[Word]) -> list[Word]:
    """Return the words, each that ends a sentence and was given no time moved back to where that broke off."""
    kept = list(words)
    for i in range(1, len(words)):
        before, word = kept[i - 1], words[i]
        ends_it = word.text[-1] in SENTENCE_ENDS and before.text[-1] not in SENTENCE_ENDS
        begins_a_voice = i + 1 == len(words) or words[i + 1].start - word.end < LEAST_SILENCE
        if ends_it and begins_a_voice and word.end - word.start <= NO_TIME and word.start - before.end > LEAST_SILENCE:
            kept[i] = replace(word, start=before.end, end=before.end)
    return kept
