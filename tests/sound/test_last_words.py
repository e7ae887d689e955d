"""Last words of sentences that the recogniser gave no time."""

from __future__ import annotations

import pytest

from pipeline.model import Word
from pipeline.transcripts.recognition.last_words import end_sentences

OVER = Word("over,", 65.8, 66.3)
BACK = Word("Back,", 67.6, 67.7)


def test_a_call_is_made_before_the_pause_that_its_full_stop_stands_for() -> None:
    four = end_sentences([OVER, Word("four.", 67.3, 67.3), BACK])[1]
    assert (four.start, four.end) == (66.3, 66.3)


@pytest.mark.parametrize(
    "words",
    [
        # It is a sentence of its own, said after the pause.
        [Word("over.", 65.8, 66.3), Word("Brilliant.", 67.3, 67.3), BACK],
        # It begins what comes next.
        [OVER, Word("four,", 67.3, 67.3), Word("back,", 67.6, 67.7)],
        # It was heard for some time.
        [OVER, Word("four.", 67.1, 67.3), BACK],
        # There is no pause before it.
        [OVER, Word("four.", 66.5, 66.5), BACK],
        # It stands alone between two pauses, and so does a voice.
        [OVER, Word("four.", 69.0, 69.0), Word("Back,", 71.0, 71.4)],
    ],
)
def test_all_other_words_stay_where_they_are(words: list[Word]) -> None:
    assert end_sentences(words) == words
