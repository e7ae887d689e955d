"""A speech recogniser's JSON, with word times and without."""

from __future__ import annotations

import json
from typing import Any

import pytest

from pipeline.model import InputError, Transcript
from pipeline.transcripts import read_bytes
from tests.transcripts.reading import said, spans, timed


def read_json(document: Any) -> Transcript:
    return read_bytes(json.dumps(document).encode(), "class.json")


def word(text: str, start: float, end: float) -> dict[str, Any]:
    return {"word": text, "start": start, "end": end, "probability": 0.8}


TWO = {
    "start": 1.0,
    "end": 3.0,
    "text": " Two, push-ups.",
    "words": [word(" Two,", 1.2, 1.5), word(" push", 2.0, 2.4)],
}
PLAIN = {"start": 10.0, "end": 20.0, "text": " Two, squat low."}


def test_words_keep_their_times_and_their_probability() -> None:
    transcript = read_json({"language": "en", "segments": [TWO]})
    assert [(w.text, w.start, w.end, w.probability) for w in transcript.words] == [
        ("Two,", 1.2, 1.5, 0.8),
        ("push", 2.0, 2.4, 0.8),
    ]
    assert (transcript.source.kind, transcript.source.timing) == ("recognizer", "word")
    assert spans(transcript) == [(1.0, 3.0, "Two, push")]


def test_a_part_without_a_blank_before_it_goes_on_the_word() -> None:
    words = [word(" push", 1.0, 1.4), word("-ups,", 1.4, 1.9), word(" ten", 2.0, 2.2)]
    transcript = read_json({"segments": [{"start": 1, "end": 3, "text": "", "words": words}]})
    assert [(w.text, w.start, w.end) for w in transcript.words] == [
        ("push-ups,", 1.0, 1.9),
        ("ten", 2.0, 2.2),
    ]


def test_words_that_all_come_without_blanks_stay_words() -> None:
    words = [word("push", 1.0, 1.4), word("ups", 1.4, 1.9)]
    assert said(read_json({"segments": [{"start": 1, "end": 3, "words": words}]})) == "push ups"


@pytest.mark.parametrize("document", [[PLAIN], {"segments": [PLAIN]}, {"segments": [PLAIN | {"words": []}]}])
def test_segments_without_words_are_timed_as_cues(document: Any) -> None:
    transcript = read_json(document)
    assert timed(transcript) == [("Two,", 10.0), ("squat", 13.14), ("low.", 16.86)]
    assert transcript.source.timing == "cue"


def test_a_word_without_a_time_is_set_between_its_neighbours() -> None:
    words = [word(" one", 1.0, 1.2), {"word": " two"}, word(" three", 5.0, 5.4)]
    transcript = read_json([{"start": 1, "end": 6, "text": "", "words": words}])
    assert 1.2 < transcript.words[1].start < 5.0


def test_a_word_timed_far_outside_its_segment_does_not_drag_the_others_along() -> None:
    words = [word(" one", 1.0, 1.2), word(" two", 900.0, 900.2), word(" three", 5.0, 5.4)]
    transcript = read_json([{"start": 1, "end": 6, "words": words}, PLAIN])
    assert 1.2 < transcript.words[1].start < 5.0
    assert transcript.words[3].start == 10.0
    assert transcript.warnings == ("segment 1: words timed far outside it; their times were worked out.",)


def test_a_speaker_of_a_segment_is_kept() -> None:
    assert read_json([PLAIN | {"speaker": "Nessa"}]).words[0].speaker == "Nessa"


def test_times_written_as_text_are_read() -> None:
    assert read_json([PLAIN | {"start": "10.0", "end": "20"}]).words[0].start == 10.0


def test_of_a_file_that_breaks_off_the_whole_segments_are_read() -> None:
    text = json.dumps({"segments": [TWO, PLAIN]}, indent=1)
    transcript = read_bytes(text[: text.rindex("squat")].encode(), "class.json")
    assert said(transcript) == "Two, push"
    assert "breaks off; whole segments read before that: 1" in transcript.warnings[0]


def test_segments_without_start_or_text_are_named() -> None:
    transcript = read_json([PLAIN, {"start": 21, "text": ""}, {"text": "Three."}, "four", None])
    assert transcript.warnings == ("segments 2, 3, 4 and 5: left out: no start or no text.",)


@pytest.mark.parametrize("start", [float("nan"), float("inf"), 1e12, True, [], "soon"])
def test_a_start_that_is_no_moment_of_a_class_is_left_out(start: Any) -> None:
    assert said(read_json([PLAIN, PLAIN | {"start": start, "text": "Lost."}])) == "Two, squat low."


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ('{"title": "Evening class"}', "without a list of segments"),
        ('{"segments": {}}', "without a list of segments"),
        ('{"segments": []}', "no timed words"),
        ('{"segments": [', "broken JSON"),
        ('{"start": 1,\n "text": ', "broken JSON"),
    ],
)
def test_json_that_is_no_transcript_is_refused(text: str, problem: str) -> None:
    with pytest.raises(InputError, match=problem):
        read_bytes(text.encode(), "class.json")


def test_broken_json_is_refused_with_its_line() -> None:
    with pytest.raises(InputError) as refusal:
        read_bytes(b'{"segments":\n\n oops', "class.json")
    assert refusal.value.line == 3
