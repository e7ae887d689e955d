"""A short film and a record of it, as the tests of embedding share them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pipeline.model import Record
from tests.embed.films import make_film
from tests.publish.example import example_record


@pytest.fixture
def short_film(tmp_path: Path) -> Path:
    return make_film(tmp_path / "short.mp4", 40)


@pytest.fixture
def short_record() -> Record:
    """The first half minute of a class in three chapters of ten seconds."""
    whole = example_record("d01")
    chapters = tuple(
        replace(whole.chapters[1], start=start, end=start + 10, title=title, words=(0, 0))
        for start, title in ((0.0, "Squat & press"), (10.0, "Rücken <hoch>"), (20.0, "Row = pull; #3"))
    )
    words = tuple(word for word in whole.words if word.end < 30)
    pieces = tuple(piece for piece in whole.pieces if piece.stop <= len(words))
    source = replace(whole.source, duration=30.0)
    return replace(
        whole, source=source, chapters=chapters, sets=(), numbers=(), findings=(), cues=(), words=words,
        pieces=pieces,
    )  # fmt: skip
