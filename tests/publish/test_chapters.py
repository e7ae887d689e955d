"""The chapter list keeps the rules that video hosts commonly publish for chapters in a description.

The rules are from memory: the first at 0:00, three or more, rising, ten seconds or longer each.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.model import Chapter, ChapterKind, Record
from pipeline.publish import export
from pipeline.publish.chapter_list import listed_chapters
from tests.publish.example import example_record

LINE = re.compile(r"^(?:(\d+):(?=\d\d:))?(\d{1,2}):(\d\d) (\S.*)$")


def chapter(start: float, end: float, title: str, kind: ChapterKind = "exercise") -> Chapter:
    return Chapter(start, end, kind, title, None, title.lower(), (), None, 0.9, (0, 0))


def class_of(*chapters: Chapter) -> Record:
    record = example_record()
    source = replace(record.source, duration=chapters[-1].end)
    return replace(record, source=source, chapters=chapters, sets=(), numbers=(), findings=(), cues=(), words=())


def seconds(text: str) -> list[int]:
    found = [LINE.match(line) for line in text.splitlines()]
    assert all(found), text
    return [int(m[1] or 0) * 3600 + int(m[2]) * 60 + int(m[3]) for m in found if m]


@pytest.mark.parametrize("name", ["d01", "d03", "d07", "d12"])
def test_the_rules_hold_for_whole_classes(name: str) -> None:
    record = example_record(name)
    starts = seconds(export(record, "chapters.txt"))
    assert starts[0] == 0
    assert len(starts) >= 3
    ends = [*starts[1:], int(record.source.duration)]
    assert all(end - start >= 10 for start, end in zip(starts, ends, strict=True))


def test_a_short_class_reads_as_one_expects() -> None:
    record = class_of(
        chapter(0.8, 59.9, "Welcome", "intro"), chapter(59.9, 135, "Goblet squat"), chapter(135, 200, "Row")
    )
    assert export(record, "chapters.txt") == "0:00 Welcome\n0:59 Goblet squat\n2:15 Row\n"


def test_all_times_have_hours_where_one_does() -> None:
    record = class_of(
        chapter(0, 600, "Welcome", "intro"), chapter(600, 3605, "Flow"), chapter(3605, 4000, "Rest", "rest")
    )
    assert export(record, "chapters.txt") == "0:00:00 Welcome\n0:10:00 Flow\n1:00:05 Rest\n"


def test_a_short_chapter_joins_the_one_before() -> None:
    record = class_of(
        chapter(0, 60, "Welcome", "intro"),
        chapter(60, 120, "Squat"),
        chapter(120, 125, "Shake out", "rest"),
        chapter(125, 200, "Row"),
    )
    assert export(record, "chapters.txt") == "0:00 Welcome\n1:00 Squat\n2:05 Row\n"


def test_the_title_of_an_exercise_outlasts_a_short_neighbour() -> None:
    record = class_of(
        chapter(0, 5, "Welcome", "intro"),
        chapter(5, 60, "Squat"),
        chapter(60, 100, "Rest", "rest"),
        chapter(100, 106, "Burpee"),
        chapter(106, 150, "Plank"),
    )
    assert export(record, "chapters.txt") == "0:00 Squat\n1:00 Burpee\n1:46 Plank\n"


def test_two_exercises_that_join_keep_both_titles() -> None:
    record = class_of(
        chapter(0, 30, "Welcome", "intro"), chapter(30, 90, "Squat"), chapter(90, 96, "Burpee"),
        chapter(96, 150, "Plank"),
    )  # fmt: skip
    assert "0:30 Squat + Burpee\n" in export(record, "chapters.txt")


def test_the_track_has_the_same_entries() -> None:
    record = example_record("d03")
    lines = export(record, "chapters.txt").splitlines()
    titles = export(record, "chapters.vtt").split("\n\n")[1:]
    assert [line.split(" ", 1)[1] for line in lines] == [block.splitlines()[2] for block in titles]


@settings(deadline=None)  # other work on the machine may slow an example
@given(st.lists(st.floats(0.01, 40), min_size=1, max_size=30))
def test_any_run_of_chapters_keeps_the_rules(lengths: list[float]) -> None:
    at, chapters = 0.0, []
    for i, length in enumerate(lengths):
        chapters.append(chapter(at, at + length, f"Part {i}"))
        at += length
    record = class_of(*chapters)
    listed = listed_chapters(record)
    assert listed[0].start == 0
    assert [one.end for one in listed[:-1]] == [one.start for one in listed[1:]]
    if len(listed) > 1:
        assert all(int(one.end) - int(one.start) >= 10 for one in listed)
    assert all(f"Part {i}" in " + ".join(one.title for one in listed) for i in range(len(lengths)))
