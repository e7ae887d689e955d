"""Captions are held against what was said: a figure that differs, is missing or is too many is told."""

from __future__ import annotations

import random
import re
from dataclasses import replace
from pathlib import Path

import pysubs2
import pytest

from pipeline.compare import compare
from pipeline.model import Number, Piece, Record, Word
from pipeline.publish import export
from tests.publish.example import example_record

CLASSES = ["d01", "d03", "d05", "d11", "e02"]


def class_saying(text: str, counts: dict[str, float]) -> Record:
    """A class of some words, two a second, of which some are reps."""
    words = tuple(Word(word, i / 2, i / 2 + 0.4) for i, word in enumerate(text.split()))
    numbers = tuple(
        Number(word.start, word.text, counts[bare], "rep", counts[bare], None, 0.9, (i, i + 1))
        for i, word in enumerate(words)
        if (bare := word.text.strip(".,").lower()) in counts
    )
    return replace(
        example_record(), words=words, pieces=(Piece(0, len(words), 0, words[-1].end),), numbers=numbers,
        chapters=(), sets=(), findings=(), cues=(),
    )  # fmt: skip


def verdicts(record: Record, captions: str, folder: Path) -> list[tuple[str, str, str]]:
    path = folder / "captions.vtt"
    path.write_text(captions, "utf-8")
    return [(one.kind, one.shown, one.due) for one in compare(record, path).verdicts]


SAID = "Squeeze and lower that is seven. Keep breathing now and there is eight. One more of my favourites today."
COUNTS = {"seven": 7.0, "eight": 8.0}


@pytest.mark.parametrize(
    ("shown", "expected"),
    [
        ("is 7. Keep breathing now and there is 8.", [("agrees", "7", "seven"), ("agrees", "8", "eight")]),
        ("is seven. Keep breathing now and there is 8.",
         [("agrees", "seven", "seven"), ("agrees", "8", "eight")]),
        ("is 7. Keep breathing now and there is 9.",
         [("agrees", "7", "seven"), ("wrong number", "9", "eight")]),
        ("is 7. Keep breathing now and there is.", [("agrees", "7", "seven"), ("missing", "", "eight")]),
        ("is 7. Keep breathing 5 now and there is 8.",
         [("agrees", "7", "seven"), ("extra", "5", ""), ("agrees", "8", "eight")]),
    ],
)  # fmt: skip
def test_figures_are_those_that_were_spoken(shown: str, expected: list[tuple[str, str, str]], tmp_path: Path) -> None:
    text = (
        "WEBVTT\n\n00:00.000 --> 00:06.000\nSqueeze and lower that "
        f"{shown}\n\n00:06.500 --> 00:10.000\nOne more of my favourites today.\n"
    )
    told = verdicts(class_saying(SAID, COUNTS), text, tmp_path)
    assert [one for one in told if one[2] != "One"] == expected


def test_a_one_that_counts_nothing_may_be_left_out(tmp_path: Path) -> None:
    text = (
        "WEBVTT\n\n00:00.000 --> 00:06.000\n"
        "Squeeze and lower that is 7. Keep breathing now and there is 8.\n\n"
        "00:06.500 --> 00:10.000\nMore of my favourites today.\n"
    )
    told = verdicts(class_saying(SAID, COUNTS), text, tmp_path)
    assert {kind for kind, _, _ in told} == {"agrees"}


@pytest.mark.parametrize("name", CLASSES)
def test_changed_figures_are_found_in_a_whole_class(name: str, tmp_path: Path) -> None:
    record = example_record(name)
    file = pysubs2.SSAFile.from_string(export(record, "captions.srt"))
    chance = random.Random(name)
    numbered = [event for event in file.events if re.search(r"\d", event.text)]
    changed = []
    for event in chance.sample(numbered, 10):
        event.text = re.sub(r"\d+", lambda found: str(int(found[0]) + 1), event.text, count=1)
        changed.append(event.start / 1000)
    path = tmp_path / "captions.srt"
    file.save(str(path))
    faults = compare(record, path).faults
    assert {one.kind for one in faults} == {"wrong number"}
    assert sorted(one.time for one in faults) == sorted(changed)


@pytest.mark.parametrize("name", CLASSES)
def test_a_caption_that_moved_away_from_its_voice_is_late_or_early(name: str, tmp_path: Path) -> None:
    record = example_record(name)
    file = pysubs2.SSAFile.from_string(export(record, "captions.srt"))
    numbered = [event for event in file.events if re.search(r"\d", event.text)]
    late, early = numbered[3], numbered[-3]
    late.shift(s=2)
    early.shift(s=-2)
    path = tmp_path / "captions.srt"
    file.save(str(path))
    told = {(one.kind, one.time) for one in compare(record, path).faults}
    assert told == {("late", late.start / 1000), ("early", early.start / 1000)}
