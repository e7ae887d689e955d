"""A short way to read a text in a test, and to show what came of it."""

from __future__ import annotations

from inspect import cleandoc

from pipeline.model import Transcript
from pipeline.transcripts import read_bytes


def read_text(text: str, name: str = "class.txt") -> Transcript:
    return read_bytes(cleandoc(text).encode(), name)


def said(transcript: Transcript) -> str:
    return " ".join(word.text for word in transcript.words)


def timed(transcript: Transcript) -> list[tuple[str, float]]:
    return [(word.text, round(word.start, 2)) for word in transcript.words]


def spans(transcript: Transcript) -> list[tuple[float, float, str]]:
    """Return the pieces as ``(start, end, text)``."""
    return [(p.start, p.end, transcript.text((p.first, p.stop))) for p in transcript.pieces]
