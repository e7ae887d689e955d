"""Chapters of real readings come back from every format whole: none lost, none moved by a frame.

Each record goes one way out and back, at a grain and a rate that differ from record to record;
``python -m tests.publish.round_trips`` goes all of them.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from selenium import webdriver

from pipeline.publish import export
from pipeline.publish.chapter_list import listed_chapters
from pipeline.publish.grain import GRAINS, PublishedChapter
from pipeline.publish.timeline_rates import RATES
from tests.publish import round_trips
from tests.publish.records import ANALYSED, NAMES, record_of
from tests.publish.round_trips import Compared, ReadChapter, compare

CAPTIONS = [name for name in ANALYSED if name.endswith("captions")]


def turn(name: str) -> int:
    return NAMES.index(name)


def grain_of(name: str) -> str:
    return GRAINS[turn(name) % len(GRAINS)]


def assert_whole(found: Compared, frame: Fraction = 1 / RATES["60"].exact) -> None:
    assert found.kept == found.written > 0
    assert found.moved < frame


@pytest.mark.parametrize("form", ["timeline.otio", "timeline.xml", "timeline.edl"])
@pytest.mark.parametrize("name", NAMES)
def test_opentimelineio_reads_each_chapter_on_its_frame(name: str, form: str) -> None:
    rate = [*RATES.values()][turn(name) % len(RATES)]
    assert_whole(round_trips.by_opentimelineio(record_of(name), grain_of(name), form, rate), 1 / rate.exact)


@pytest.mark.parametrize("name", NAMES)
def test_tables_and_tracks_give_each_chapter_back(name: str) -> None:
    record, grain = record_of(name), grain_of(name)
    assert_whole(round_trips.by_json(record, grain))
    assert_whole(round_trips.by_csv(record, grain))
    for form in ("chapters.vtt", "chapters-nested.vtt"):
        assert_whole(round_trips.by_webvtt_py(record, grain, form))


@pytest.mark.parametrize("name", NAMES)
def test_the_list_to_paste_shows_each_chapter_in_its_second(name: str) -> None:
    record, grain = record_of(name), grain_of(name)
    lines = [line.split(" ", 1) for line in export(record, "chapters.txt", grain=grain).splitlines()]
    listed = listed_chapters(record, grain)
    assert [title for _, title in lines] == [one.title for one in listed]
    for (shown, _), one in zip(lines, listed, strict=True):
        parts = [int(part) for part in shown.split(":")]
        assert sum(part * 60**place for place, part in enumerate(reversed(parts))) == int(one.start)


@pytest.mark.parametrize("name", CAPTIONS)
def test_ffprobe_and_mkvextract_give_each_chapter_back(name: str, tmp_path: Path) -> None:
    record, grain = record_of(name), grain_of(name)
    assert_whole(round_trips.by_ffprobe(record, grain, tmp_path))
    assert_whole(round_trips.by_mkvextract(record, grain, tmp_path, round_trips.make_carrier(tmp_path)))


def test_chromium_reads_each_chapter(driver: webdriver.Chrome) -> None:
    for name in CAPTIONS:
        form = ("chapters.vtt", "chapters-nested.vtt")[turn(name) % 2]
        assert_whole(round_trips.by_chromium(record_of(name), grain_of(name), form, driver))


def test_what_is_lost_or_moved_is_seen() -> None:
    written = [PublishedChapter(0.0, 9.5, "A", "exercise"), PublishedChapter(9.5, 20.0, "B", "exercise")]
    read = [ReadChapter(Fraction(0), Fraction(19, 2), "A"), ReadChapter(Fraction(10), Fraction(20), "B")]
    assert compare(written, read) == Compared(2, 2, Fraction(1, 2))
    assert compare(written, read[:1]).kept == 1
    assert compare(written, [*read, read[1]]).kept == 1
    assert compare(written, [read[0], ReadChapter(Fraction(10), Fraction(20), "C")]).kept == 1
