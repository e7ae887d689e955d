"""Timecode against opentime, and the timelines read back by OpenTimelineIO's own readers."""

from __future__ import annotations

import random
import re
import sys
from collections.abc import Callable
from typing import Any

import opentimelineio as otio
import pytest
from opentimelineio import opentime

from pipeline.model import InputError, Record
from pipeline.publish import export, timeline
from pipeline.publish.chapter_list import listed_chapters
from pipeline.publish.timeline_rates import RATES, Rate, read_rate
from tests.publish.example import example_record

NAMES = ("d01", "d03", "d12")
DAY = 24 * 3600


@pytest.fixture(params=list(RATES.values()), ids=list(RATES))
def rate(request: pytest.FixtureRequest) -> Rate:
    made: Rate = request.param
    return made


def test_ten_thousand_random_times_have_the_timecode_that_opentime_gives(rate: Rate) -> None:
    rng = random.Random(rate.name)
    counted = float(rate.exact) if rate.drop else float(rate.nominal)
    for _ in range(10_000):
        seconds = round(rng.uniform(0, DAY), 3)
        frame = rate.frame_at(seconds)
        assert abs(float(rate.seconds(frame)) - seconds) <= 0.5 / float(rate.exact) + 1e-9
        last = int(DAY * rate.exact) - 1
        frame = min(frame, last)
        time = opentime.RationalTime(frame, counted)
        assert rate.timecode(frame) == opentime.to_timecode(time, counted, rate.drop)
        assert opentime.from_timecode(rate.timecode(frame), counted).value == frame


def test_drop_frame_timecode_skips_two_numbers_a_minute_but_not_at_the_tenth() -> None:
    """SMPTE ST 12-1: 00 and 01 are dropped at each minute except 00, 10, 20, 30, 40 and 50."""
    rate = read_rate("29.97df")
    assert [rate.timecode(frame) for frame in (1799, 1800)] == ["00:00:59;29", "00:01:00;02"]
    assert [rate.timecode(frame) for frame in (17981, 17982)] == ["00:09:59;29", "00:10:00;00"]
    assert rate.timecode(107892) == "01:00:00;00"


def test_an_hour_of_29_97_without_dropping_is_late_by_the_known_3_6_seconds() -> None:
    assert read_rate("29.97").timecode(read_rate("29.97").frame_at(3600)) == "00:59:56:12"


def wanted_chapters(record: Record, rate: Rate) -> list[tuple[str, int, int]]:
    """Name, first frame, frames, worked out with fractions apart from the writer."""
    edges = [(one.title, one.start, one.end) for one in listed_chapters(record)]
    return [(title, rate.frame_at(start), rate.frame_at(end) - rate.frame_at(start)) for title, start, end in edges]


def marked(markers: Any, what: str) -> list[tuple[str, int, int]]:
    return [
        (one.name, int(one.marked_range.start_time.value), int(one.marked_range.duration.value))
        for one in markers
        if one.metadata["repslate"]["marks"] == what
    ]


@pytest.mark.parametrize("name", NAMES)
def test_the_otio_file_marks_chapters_sets_and_findings(name: str, rate: Rate) -> None:
    record = example_record(name)
    read = otio.adapters.read_from_string(export(record, "timeline.otio", rate=rate.name), "otio_json")
    (clip,) = read.tracks[0]
    assert clip.source_range.start_time.rate == float(rate.exact)
    assert marked(clip.markers, "chapter") == wanted_chapters(record, rate)
    sets = marked(clip.markers, "set")
    assert [first for _, first, _ in sets] == [rate.frame_at(one.start) for one in record.sets]
    findings = marked(clip.markers, "finding")
    assert [first for _, first, _ in findings] == [rate.frame_at(one.time) for one in record.findings]
    for _, first, _ in marked(clip.markers, "chapter"):
        start = min(abs(first / float(rate.exact) - one.start) for one in listed_chapters(record))
        assert start < 1 / float(rate.exact)


@pytest.mark.parametrize("name", NAMES)
def test_the_fcp_xml_gives_every_mark_back(name: str, rate: Rate) -> None:
    record = example_record(name)
    read = otio.adapters.read_from_string(export(record, "timeline.xml", rate=rate.name), "fcp_xml")
    (clip,) = read.tracks[0]
    assert clip.source_range.start_time.rate == pytest.approx(float(rate.exact))
    found = [
        (one.name, int(one.marked_range.start_time.value), int(one.marked_range.duration.value)) for one in clip.markers
    ]
    wanted = wanted_chapters(record, rate)
    assert found[: len(wanted)] == wanted
    assert len(found) == len(wanted) + len(record.sets) + len(record.findings)
    text = export(record, "timeline.xml", rate=rate.name)
    assert ("<displayformat>DF" in text) == rate.drop


@pytest.mark.parametrize("name", NAMES)
def test_the_edit_list_has_an_event_a_chapter(name: str, rate: Rate) -> None:
    record = example_record(name)
    text = export(record, "timeline.edl", rate=rate.name)
    assert text.splitlines()[1] == ("FCM: DROP FRAME" if rate.drop else "FCM: NON-DROP FRAME")
    counted = float(rate.exact) if rate.drop else float(rate.nominal)
    read = otio.adapters.read_from_string(text, "cmx_3600", rate=counted)
    found = [
        (one.name, int(one.source_range.start_time.value), int(one.source_range.duration.value))
        for one in read.tracks[0]
    ]
    assert found == wanted_chapters(record, rate)


def test_the_edit_list_locates_sets_and_findings(rate: Rate) -> None:
    record = example_record("d03")
    counted = float(rate.exact) if rate.drop else float(rate.nominal)
    located = re.findall(r"^\* LOC: (\S+) (GREEN|RED)", export(record, "timeline.edl", rate=rate.name), re.M)
    frames = [int(opentime.from_timecode(time, counted).value) for time, _ in located]
    marks = [*(one.start for one in record.sets), *(one.time for one in record.findings)]
    assert sorted(frames) == sorted(map(rate.frame_at, marks))


def test_a_rate_that_there_is_not_is_told_with_those_there_are() -> None:
    with pytest.raises(InputError, match=r"'26' is no frame rate known here; one of 23\.976, 24, 25"):
        export(example_record("d01"), "timeline.edl", rate="26")


@pytest.mark.parametrize("write", [timeline.write_otio, timeline.write_edl, timeline.write_xml])
def test_without_its_library_a_timeline_says_what_to_install(
    write: Callable[[Record], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "opentimelineio", None)
    with pytest.raises(InputError, match=r"pip install '\.\[timeline\]'"):
        write(example_record("d01"))
