"""Chapters by simple means, to hold the tool's chapters against: topic shifts, and even spacing.

TextTiling finds where the words change: Hearst, "TextTiling: Segmenting Text into Multi-paragraph Subtopic
Passages" (Computational Linguistics 23, 1997), here as NLTK has it with its standard settings. Even spacing
is told how many chapters there are, which the tool is not.
"""

from __future__ import annotations

from collections import Counter
from functools import lru_cache
from pathlib import Path
from typing import Any

from pipeline.model import Transcript
from tests.bench.corpus import GoldClass, bench_module
from tests.bench.segments import boundaries, window_scores

STOPWORDS = Path(__file__).with_name("stopwords.txt")
BASELINES = ("TextTiling", "evenly spaced")


def texttiling_starts(transcript: Transcript) -> list[float]:
    """Return the starts (s) of the topics that TextTiling finds; a paragraph is a piece of the transcript."""
    paragraphs = [transcript.text((piece.first, piece.stop)) for piece in transcript.pieces]
    try:
        tiles = _tokenizer().tokenize("\n\n".join(paragraphs))
    except ValueError:  # NLTK's answer to a text too short to have two topics
        return []
    offsets, at = [], 0
    for paragraph in paragraphs:
        offsets.append(at)
        at += len(paragraph) + 2
    starts, passed = [], 0
    for tile in tiles[:-1]:
        passed += len(tile)
        opened = next((i for i, offset in enumerate(offsets) if offset >= passed), None)
        if opened is not None:
            starts.append(transcript.pieces[opened].start)
    return starts


def even_starts(duration: float, count: int) -> list[float]:
    """Return ``count`` starts (s) that cut a class into chapters of one length."""
    return [duration * i / (count + 1) for i in range(1, count + 1)]


def baseline_starts(name: str, one: GoldClass, form: str) -> list[float]:
    """Return the chapter starts (s) that a baseline gives to one form of a class."""
    transcript = one.forms[form]
    if name == "TextTiling":
        return texttiling_starts(transcript)
    return even_starts(transcript.source.duration, len(boundaries(one.gold["chapters"])))


def chapter_figures(classes: list[GoldClass], form: str, starts: dict[str, list[float]]) -> dict[str, float]:
    """Return the scorer's chapter figures over classes, and the mean window scores.

    ``starts`` holds the chapter starts (s) found in each class, by its id.
    """
    scorer = bench_module("score")
    tally: Counter[str] = Counter()
    windows = []
    for one in classes:
        found = starts[one.id]
        scorer.score(one.gold, chapters_only(found, one.forms[form].source.timing), tally, [])
        windows.append(window_scores(boundaries(one.gold["chapters"]), found, one.gold["duration"]))
    all_figures = scorer.figures(tally)
    return {
        "chapter_f1": all_figures["chapter_f1"],
        "chapter_f1_10s": all_figures["chapter_f1_10s"],
        **{name: sum(row[name] for row in windows) / len(windows) for name in windows[0]},
    }


def chapters_only(starts: list[float], timing: str) -> dict[str, Any]:
    """Return a record with nothing but chapters, as the scorer reads it; the class itself opens the first."""
    chapters = [{"start": start, "kind": "exercise", "title": ""} for start in [0.0, *starts]]
    return {"source": {"timing": timing}, "chapters": chapters, "sets": [], "numbers": [], "findings": []}


@lru_cache
def _tokenizer() -> Any:
    from nltk.tokenize.texttiling import TextTilingTokenizer

    return TextTilingTokenizer(stopwords=set(STOPWORDS.read_text("utf-8").split()))
