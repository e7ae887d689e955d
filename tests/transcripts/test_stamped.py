"""Text whose paragraphs begin with a stamp."""

from __future__ import annotations

import pytest

from tests.transcripts.reading import read_text, said, spans

CLASS = """
    # Evening mobility

    [0:00] Hello, find some floor.

    ## Warm-up

    [0:20] Roll the shoulders. Two. Three.
    Breathe.

    [0:41] And rest.
    """


def test_paragraphs_start_at_their_stamps_and_end_at_the_next() -> None:
    transcript = read_text(CLASS)
    assert (transcript.source.kind, transcript.source.timing) == ("stamped", "coarse")
    assert spans(transcript) == [
        (0, 20, "Hello, find some floor."),
        (20, 41, "Roll the shoulders. Two. Three. Breathe."),
        (41, pytest.approx(41 + 2 / 2.6), "And rest."),
    ]


def test_the_first_heading_is_the_title_and_no_heading_is_said() -> None:
    transcript = read_text(CLASS)
    assert transcript.title == "Evening mobility"
    assert "Warm-up" not in said(transcript)


@pytest.mark.parametrize(
    "stamp",
    [
        "[1:05]",
        "(1:05)",
        "1:05",
        "[01:05]",
        "0:01:05",
        "(0:01:05.0)",
        "1:05.0",
        "**[1:05]**",
        "- 1:05",
        "1:05 -",
        "[1:05 - 1:25]",
    ],
)
@pytest.mark.parametrize("between", [" ", "\n", "\n\n"])
def test_a_stamp_may_be_written_in_many_ways(stamp: str, between: str) -> None:
    transcript = read_text(f"{stamp}{between}Hips back and down.\n\n1:30 Stand.")
    assert (transcript.pieces[0].start, said(transcript)) == (65.0, "Hips back and down. Stand.")


def test_a_paragraph_cut_in_the_middle_of_a_sentence_goes_on_in_the_next() -> None:
    transcript = read_text("[0:00] Push your hips\n\n[0:20] back and stand.")
    assert said(transcript) == "Push your hips back and stand."


def test_a_paragraph_without_a_stamp_goes_on_the_one_before() -> None:
    assert spans(read_text("[0:05] One.\n\nTwo.\n\n[0:10] Three."))[0] == (5, 10, "One. Two.")


def test_stamps_inside_a_line_begin_paragraphs_only_in_brackets() -> None:
    transcript = read_text("[0:00] Meet at 10:30 sharp. [0:20] Two.")
    assert [text for *_, text in spans(transcript)] == ["Meet at 10:30 sharp.", "Two."]


def test_words_before_the_first_stamp_are_named() -> None:
    transcript = read_text("Notes of the editor.\n\n[0:10] One.")
    assert said(transcript) == "One."
    assert transcript.warnings == ("line 1: left out: before the first stamp.",)


def test_a_stamp_that_is_no_time_is_named() -> None:
    transcript = read_text("[0:10] One.\n\n[0:75] Two.")
    assert transcript.warnings[0].startswith("line 3: a stamp that is no time")
    assert said(transcript) == "One. [0:75] Two."


def test_stamps_out_of_order_are_put_in_order_and_named() -> None:
    transcript = read_text("[0:40] Two.\n\n[0:10] One.")
    assert said(transcript) == "One. Two."
    assert transcript.warnings[0].startswith("line 3: out of order")


def test_two_paragraphs_of_one_stamp_share_its_time() -> None:
    assert spans(read_text("[0:10] One.\n\n[0:10] Two.\n\n[0:20] Three."))[0] == (10, 20, "One. Two.")


def test_windows_line_ends_do_not_matter() -> None:
    text = "# Title\r\n\r\n[0:00] One.\r\n\r\n[0:20] Two.\r\n"
    assert read_text(text).pieces == read_text(text.replace("\r\n", "\n")).pieces
