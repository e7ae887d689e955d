"""SubRip, in the states in which it is met, against pysubs2. (The format has no standard.)"""

from __future__ import annotations

import pysubs2
import pytest

from pipeline.transcripts import read_bytes
from tests.transcripts.reading import read_text, said, spans

CLEAN = "1\n00:00:01,000 --> 00:00:02,500\nHips back.\n\n2\n00:00:03,000 --> 00:00:04,000\nTwo,\nchest tall.\n"
FILES = {
    "clean": CLEAN,
    "points instead of commas": CLEAN.replace(",0", ".0").replace(",5", ".5"),
    "numbers that are off": CLEAN.replace("1\n", "7\n", 1).replace("\n2\n", "\n3\n"),
    "tags": CLEAN.replace("Hips", "<i>Hips</i>").replace("Two", "{\\an8}<b>Two</b>"),
    "no number": CLEAN.replace("1\n", "", 1).replace("\n2\n", "\n"),
    "one digit of hours": CLEAN.replace("00:00:0", "0:00:0"),
    "no last line end": CLEAN.strip(),
    "blank lines before": "\n\n\n" + CLEAN,
}


@pytest.mark.parametrize("text", FILES.values(), ids=FILES.keys())
def test_the_cues_are_those_that_pysubs2_finds(text: str) -> None:
    theirs = pysubs2.SSAFile.from_string(text, format_="srt")
    found = [(e.start / 1000, e.end / 1000, " ".join(e.plaintext.split())) for e in theirs]
    transcript = read_bytes(text.encode(), "class.srt")
    assert spans(transcript) == found
    assert transcript.source.kind == "subrip"
    assert not transcript.warnings


@pytest.mark.parametrize(
    "data",
    [
        "1\n00:00:01,000 --> 00:00:02,000\nPlié – now.\n".encode(encoding)
        for encoding in ("utf-8", "utf-8-sig", "utf-16", "utf-32", "cp1252")
    ],
)
def test_every_usual_encoding_is_read(data: bytes) -> None:
    assert said(read_bytes(data, "class.srt")) == "Plié – now."


def test_windows_1252_is_named_in_a_warning_with_the_line_that_told_it() -> None:
    transcript = read_bytes("1\n00:00:01,000 --> 00:00:02,000\nPlié.\n".encode("cp1252"), "class.srt")
    assert transcript.warnings == ("line 3: not UTF-8, so the file was read as Windows-1252.",)


@pytest.mark.parametrize("end", ["\r\n", "\r", "\n"])
def test_every_kind_of_line_end_is_read(end: str) -> None:
    assert spans(read_bytes(CLEAN.replace("\n", end).encode(), "x"))[1] == (3, 4, "Two, chest tall.")


def test_missing_blank_lines_do_not_join_cues() -> None:
    text = "1\n00:00:01,000 --> 00:00:02,000\nOne.\n2\n00:00:03,000 --> 00:00:04,000\nTwo.\n"
    assert spans(read_text(text)) == [(1, 2, "One."), (3, 4, "Two.")]


def test_doubled_blank_lines_do_not_put_numbers_into_the_text() -> None:
    assert said(read_text(CLEAN.replace("\n", "\n\n"))) == "Hips back. Two, chest tall."


def test_a_called_number_is_text_and_the_number_of_the_next_cue_is_not() -> None:
    text = "1\n00:00:01,000 --> 00:00:02,000\n11\n\n2\n00:00:03,000 --> 00:00:04,000\n12\n"
    assert said(read_text(text)) == "11 12"
    without_numbers = "00:00:01,000 --> 00:00:02,000\n11\n\n00:00:03,000 --> 00:00:04,000\n12\n"
    assert said(read_text(without_numbers)) == "11 12"


def test_a_less_than_sign_and_an_ampersand_are_text() -> None:
    text = "1\n00:00:01,000 --> 00:00:02,000\nKnees < 90 > 45 & R&amp;D <3\n"
    assert said(read_text(text)) == "Knees < 90 > 45 & R&D <3"


def test_dialogue_dashes_stay() -> None:
    text = "1\n00:00:01,000 --> 00:00:02,000\n- Ready?\n- Two.\n"
    assert said(read_text(text)) == "- Ready? - Two."


def test_a_label_in_capitals_that_returns_is_the_speaker() -> None:
    text = """
        1
        00:00:01,000 --> 00:00:02,000
        NESSA: Hips back.

        2
        00:00:03,000 --> 00:00:04,000
        IDRIS: Ouch.

        3
        00:00:05,000 --> 00:00:06,000
        NESSA: Next: the row.

        4
        00:00:07,000 --> 00:00:08,000
        IDRIS: Two.
        """
    words = read_text(text).words
    assert [(word.text, word.speaker) for word in words[:3]] == [
        ("Hips", "NESSA"),
        ("back.", "NESSA"),
        ("Ouch.", "IDRIS"),
    ]
    assert " ".join(word.text for word in words) == "Hips back. Ouch. Next: the row. Two."


def test_a_label_met_once_is_text() -> None:
    assert said(read_text("1\n00:00:01,000 --> 00:00:02,000\nREST: ten seconds.\n")) == "REST: ten seconds."


def test_a_line_of_times_that_cannot_be_read_is_named() -> None:
    transcript = read_text(CLEAN + "\n3\n00:00:xx --> 00:00:06,000\nLost.\n")
    assert said(transcript) == "Hips back. Two, chest tall."
    assert transcript.warnings[0].startswith("line 11: left out")


def test_a_missing_end_is_where_the_next_cue_starts_or_speech_is_done() -> None:
    text = "00:00:01,000 -->\nHips back.\n\n00:00:02,000 -->\nTwo words and then thirteen more.\n"
    first, second = spans(read_text(text))
    assert first[:2] == (1, 2)
    assert second[1] == pytest.approx(2 + 6 / 2.6)
