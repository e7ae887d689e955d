"""WebVTT, against the W3C's standard (https://www.w3.org/TR/webvtt1/), Chromium's parser and webvtt-py.

The files in ``webvtt_awkward/`` were written from the standard's sections 4 "Syntax", 6.1 "WebVTT file
parsing", 6.3 "WebVTT cue timings and settings parsing" and 6.4 "WebVTT cue text parsing rules".
"""

from __future__ import annotations

from pathlib import Path

import pytest
import webvtt
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from selenium.webdriver import Chrome

from pipeline.transcripts import read, read_bytes
from pipeline.transcripts.cue_text import plain_text
from pipeline.transcripts.decode import decode
from pipeline.transcripts.webvtt import matches, parse_cues
from tests.browser import load_track
from tests.transcripts.reading import read_text, said, spans, timed

HERE = Path(__file__).parent
AWKWARD = sorted((HERE / "webvtt_awkward").glob("*.vtt"))


@pytest.mark.parametrize("path", AWKWARD, ids=lambda path: path.stem)
def test_awkward_files_have_the_cues_that_chromium_finds(path: Path, chromium: Chrome) -> None:
    data = path.read_bytes()
    text, _ = decode(data, path.name)
    ours = [(cue.start, cue.end, plain_text(cue.text)) for cue in parse_cues(text)]
    # HTML Living Standard, 4.8.11.11 "text track cue order": by start, and the one that ends later first.
    assert sorted(ours, key=lambda cue: (cue[0], -cue[1])) == load_track(chromium, data.decode())


@pytest.mark.parametrize(
    "text",
    [
        "WEBVTT",
        "WEBVTT\n",
        "WEBVTT text",
        "WEBVTT\ttext",
        "WEBVTTtext",
        "webvtt",
        " WEBVTT",
        "\nWEBVTT",
        "WEBVTT\x0c",
    ],
)
def test_the_signature_is_what_chromium_takes_for_one(text: str, chromium: Chrome) -> None:
    text += "\n\n00:01.000 --> 00:02.000\nOne."
    try:
        taken = load_track(chromium, text) != []
    except ValueError:
        taken = False
    assert matches(text) == taken


BLOCKS = "\n|\n\n|NOTE|STYLE|REGION|12|Two.|chest tall|é| |\t|\x0c|\u2028|\u00a0|-->| --> |->|--"
TIMINGS = (
    "00:01.000 --> 00:02.000|\n00:01.000 --> 00:02.000\n|\n0:01.000 --> 0:02.000\n|00:61.000|00:01,000|"
    "\n00:03.500 --> 00:02.000 x:y\n|1:00:01.000-->100:00:02.000 align:start\n"
)
TAGS = (
    "<v Nessa>|<v.a.b Nessa Vale>|<v>|</v>|<i>|</i>|<b|<i\n|<c.x.y>|</c>|<.x>|< b>|<ruby>|<rt>|</ruby>|"
    "<lang en>|<1>|<b/>|<|>|<>|</>|<00:01.500>|<00:01.50>"
)
REFERENCES = "&amp;|&lt|&|&nbsp;|&#65;|&#x41;|&#0;|&notit;|&eacute|&ampx|&lrm;|&rlm|;"
PIECES = [piece for pieces in (BLOCKS, TIMINGS, TAGS, REFERENCES) for piece in pieces.split("|")]


@settings(deadline=None, max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.lists(st.sampled_from(PIECES), max_size=14).map("".join), min_size=1, max_size=4))
def test_any_cues_at_all_are_those_that_chromium_finds(chromium: Chrome, bodies: list[str]) -> None:
    text = "WEBVTT\n\n" + "\n\n".join(f"00:0{i}.000 --> 00:09.000\n{body}" for i, body in enumerate(bodies))
    ours = [(cue.start, cue.end, plain_text(cue.text)) for cue in parse_cues(text)]
    assert sorted(ours, key=lambda cue: (cue[0], -cue[1])) == load_track(chromium, text)


@pytest.mark.parametrize("path", [p for p in AWKWARD if p.stem in {"header_text", "identifiers", "windows_lines"}])
def test_plain_files_have_the_cues_that_webvtt_py_finds(path: Path) -> None:
    theirs = webvtt.from_string(path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n"))
    found = [(c.start_in_seconds, c.end_in_seconds, " ".join(c.text.split())) for c in theirs]
    assert [(int(start), int(end), text) for start, end, text in spans(read(path))] == found


@pytest.mark.parametrize("path", AWKWARD, ids=lambda path: path.stem)
def test_awkward_files_are_read_to_the_end(path: Path) -> None:
    transcript = read(path)
    assert transcript.source.kind == "webvtt"
    assert transcript.words


def test_notes_styles_regions_and_settings_are_not_said() -> None:
    assert said(read(HERE / "webvtt_awkward/note_blocks.vtt")) == (
        "One. Two. NOTE this line is said The line above is an identifier."
    )
    assert said(read(HERE / "webvtt_awkward/style_and_region.vtt")) == "Squat. Stand."
    assert said(read(HERE / "webvtt_awkward/settings.vtt")) == "One. Two. Three."


def test_a_voice_is_kept_as_the_speaker() -> None:
    words = read(HERE / "webvtt_awkward/voices.vtt").words
    assert [(word.text, word.speaker) for word in words] == [
        ("Left", "Nessa"),
        ("side.", "Nessa"),
        ("Right", "Idris Vale"),
        ("side.", "Idris Vale"),
        ("Yes.", "Nessa"),
        ("Both.", "Ana & Bo"),
        ("No", None),
        ("name.", None),
        ("-", "Nessa"),
        ("One.", "Nessa"),
        ("-", "Idris"),
        ("Two.", "Idris"),
    ]


def test_inline_times_time_the_words_after_them() -> None:
    transcript = read(HERE / "webvtt_awkward/inline_times.vtt")
    assert timed(transcript)[:4] == [("One", 1.0), ("two", 2.0), ("three", 3.0), ("four.", 4.0)]


def test_words_of_a_cue_share_its_time_by_their_length() -> None:
    transcript = read_text("WEBVTT\n\n00:10.000 --> 00:20.000\nTwo, squat low.")
    # Letters and 1.5 each: 5.5, 6.5 and 5.5 of 17.5, as in the benchmark's own layout.
    assert timed(transcript) == [("Two,", 10.0), ("squat", 13.14), ("low.", 16.86)]
    assert transcript.source.timing == "cue"


def test_a_tag_inside_a_word_does_not_part_it() -> None:
    assert said(read_text("WEBVTT\n\n00:01.000 --> 00:02.000\nS<b>qu</b>at <i>low</i>.")) == "Squat low."


def test_a_rolling_transcript_says_every_word_once() -> None:
    transcript = read(HERE / "rolling.vtt")
    assert said(transcript) == "okay hips back two chest tall three lovely lovely lovely lovely"
    assert transcript.source.timing == "word"
    assert not transcript.warnings
    assert timed(transcript)[3:7] == [("two", 2.31), ("chest", 2.9), ("tall", 3.3), ("three", 4.01)]


def test_a_rolling_transcript_without_inline_times_says_every_word_once() -> None:
    transcript = read_text(
        """
        WEBVTT

        00:01.000 --> 00:04.000
        hips back

        00:02.000 --> 00:06.000
        hips back
        and stand

        00:04.000 --> 00:08.000
        and stand
        two

        00:06.000 --> 00:09.000
        two
        chest tall
        """
    )
    assert spans(transcript) == [
        (1, 2, "hips back"),
        (2, 4, "and stand"),
        (4, 6, "two"),
        (6, 9, "chest tall"),
    ]
    assert transcript.source.timing == "cue"


def test_a_line_that_grows_word_by_word_says_every_word_once() -> None:
    cues = ["hips", "hips back", "hips back and", "hips back and stand"]
    text = "".join(f"\n00:0{i}.000 --> 00:0{i + 1}.000\n{cue}\n" for i, cue in enumerate(cues))
    assert timed(read_text(f"WEBVTT\n{text}")) == [("hips", 0), ("back", 1), ("and", 2), ("stand", 3)]


def test_a_coach_who_says_the_same_at_every_rep_is_heard_every_time() -> None:
    text = "".join(f"\n00:0{i}.000 --> 00:0{i}.900\nSquat.\n" for i in range(8))
    assert said(read_text(f"WEBVTT\n{text}")) == " ".join(["Squat."] * 8)


def test_a_cue_with_times_that_are_none_is_named_in_a_warning() -> None:
    transcript = read(HERE / "webvtt_awkward/timings_of_any_shape.vtt")
    assert any(warning.startswith("lines 9, 12, 15, 18, 21 and") for warning in transcript.warnings)


def test_cues_out_of_order_are_put_in_order_and_named() -> None:
    transcript = read(HERE / "webvtt_awkward/unordered.vtt")
    assert said(transcript) == "One. Five. Nine."
    assert transcript.warnings == ("lines 6 and 9: out of order; put in order of time.",)


def test_cues_that_overlap_follow_each_other() -> None:
    transcript = read(HERE / "webvtt_awkward/overlapping.vtt")
    assert said(transcript) == "Three more like that. Three? Three."
    assert [word.start for word in transcript.words] == sorted(word.start for word in transcript.words)
    assert transcript.warnings[0].startswith("lines 6 and 9: start before the end of the one before")


def test_a_file_of_cues_with_commas_is_read_all_the_same() -> None:
    transcript = read_text(
        "WEBVTT\n\n1\n00:00:01,000 --> 00:00:02,000\nSquat.\n\n2\n00:00:03,000 --> 00:00:04,000\nStand."
    )
    assert spans(transcript) == [(1, 2, "Squat."), (3, 4, "Stand.")]
    assert "SubRip" in transcript.warnings[0]


def test_the_ending_of_the_name_does_not_matter() -> None:
    assert read_bytes(b"WEBVTT\n\n00:01.000 --> 00:02.000\nOne.", "class.srt").source.kind == "webvtt"
