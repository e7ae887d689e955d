"""Any bytes at all give a transcript or one clear line, never a traceback."""

from __future__ import annotations

import json
from itertools import pairwise

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from pipeline.model import InputError, Transcript
from pipeline.transcripts import read_bytes

WRITTEN_TIMES = [
    "0:01",
    "00:00:01,500",
    "00:02.000",
    "99:59:59.999",
    "1:75",
    "[0:12]",
    "(1:02:03.4)",
    "-1",
    "1e309",
    "NaN",
    "12.5",
    "9" * 30,
    "٣:٠٣",
]
SNIPPETS = {
    "webvtt": [
        "WEBVTT",
        "NOTE",
        "STYLE",
        "REGION",
        "<v Nessa>",
        "<00:01.000>",
        "<c>",
        "</c>",
        "&amp;",
        "&#0;",
        "<",
    ],
    "subrip": ["1", "12", "{\\an8}", "<i>", "</font>", "-->", "->", "NESSA:", "- two"],
    "stamped": ["# Evening class", "---", "* *", "[", "]", "two.", "Three, chest tall."],
    "table": ["start,end,text", "start\ttext", "start_ms;end_ms;text", ",", "\t", ";", '"', '"two"'],
}
COMMON = [
    " ",
    "\n",
    "\n\n",
    "\r\n",
    "\r",
    " --> ",
    "Two.",
    "\ufeff",
    "\u2028",
    "\x0b",
    "\u200b",
    "\ud7ff",
    "🏋",
]

untimed = settings(deadline=None, max_examples=200, suppress_health_check=[HealthCheck.too_slow])
"""How long an example takes says more about the machine than about the readers."""


def checked(data: bytes) -> Transcript | None:
    try:
        transcript = read_bytes(data, "class.txt")
    except InputError as refusal:
        error = refusal
    else:
        return checked_transcript(transcript)
    assert "\n" not in str(error)
    assert error.problem
    assert error.remedy
    return None


def checked_transcript(transcript: Transcript) -> Transcript:
    words, pieces = transcript.words, transcript.pieces
    assert words
    assert all(word.end >= word.start >= 0 for word in words)
    assert all(a.start <= b.start for a, b in pairwise(words))
    assert all(word.text and word.text.split() == [word.text] for word in words)
    assert [piece.first for piece in pieces] == [0, *(piece.stop for piece in pieces[:-1])]
    assert pieces[-1].stop == len(words)
    assert all(piece.end >= piece.start for piece in pieces)
    assert all(a.end <= b.start for a, b in pairwise(pieces))
    assert transcript.source.duration >= max(word.end for word in words)
    " ".join(word.text for word in words).encode("utf-8")
    assert all(warning.endswith(".") and "\n" not in warning for warning in transcript.warnings)
    return transcript


def texts(kind: str) -> st.SearchStrategy[str]:
    piece = st.sampled_from(SNIPPETS[kind] + WRITTEN_TIMES + COMMON) | st.text(max_size=6)
    return st.lists(piece, max_size=60).map("".join)


@untimed
@given(st.binary(max_size=400))
def test_any_bytes(data: bytes) -> None:
    checked(data)


@untimed
@given(st.text(max_size=200), st.sampled_from(["utf-8-sig", "utf-16", "utf-32", "cp1252"]))
def test_any_text_in_any_encoding(text: str, encoding: str) -> None:
    checked(text.encode(encoding, errors="replace"))


@untimed
@given(texts("webvtt"))
@example("\n00:00.000 --> 00:00.000\n<00:09.000>two <00:01.000>three")
def test_anything_that_begins_as_webvtt(text: str) -> None:
    checked(f"WEBVTT\n\n{text}".encode(errors="replace"))


@untimed
@given(texts("subrip"))
def test_anything_that_begins_as_subrip(text: str) -> None:
    checked(f"1\n00:00:01,000 --> 00:00:02,000\n{text}".encode(errors="replace"))


@untimed
@given(texts("stamped"))
@example("[0:00] two\n[0:00] three\n[0:00]four")
def test_anything_that_begins_as_stamped_text(text: str) -> None:
    checked(f"[0:03] Two.\n\n{text}".encode(errors="replace"))


@untimed
@given(texts("table"), st.sampled_from(["start,end,text", "Begin (ms)\tcaption", "from;to;speaker;content"]))
def test_anything_that_begins_as_a_table(text: str, head: str) -> None:
    checked(f"{head}\n{text}".encode(errors="replace"))


VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.sampled_from([" two", "three", "1.5"])
    | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(["segments", "start", "end", "text", "words", "word", "probability"]),
            inner,
            max_size=5,
        )
    ),
    max_leaves=25,
)
TIMES = st.floats(-2, 20) | VALUES
WORDS = st.fixed_dictionaries({"word": st.sampled_from([" two", "three"]) | VALUES, "start": TIMES, "end": TIMES})
SEGMENTS = st.fixed_dictionaries(
    {"start": TIMES, "end": TIMES, "text": VALUES, "words": st.lists(WORDS, max_size=4) | VALUES}
)


@untimed
@given(VALUES | st.fixed_dictionaries({"segments": st.lists(SEGMENTS | VALUES, max_size=5)}), st.integers(0, 400))
def test_any_json_whole_or_cut_short(document: object, cut: int) -> None:
    text = json.dumps(document)
    checked(text.encode())
    checked(text[:cut].encode())


def test_json_that_nests_beyond_reason() -> None:
    assert checked(b"[" * 200_000) is None
    assert checked(b'{"segments": [{"start": ' + b"9" * 5000 + b"}]}") is None
