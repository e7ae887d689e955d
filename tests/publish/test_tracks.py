"""Our WebVTT files say the same to three readers that are not ours: webvtt-py, pysubs2 and Chromium."""

from __future__ import annotations

import html
import io
import json
from collections.abc import Callable
from itertools import pairwise

import pysubs2
import pytest
import webvtt
from selenium import webdriver

from pipeline.model import Record
from pipeline.publish import export
from tests.browser import load_track
from tests.publish.example import example_record

ReadCue = tuple[float, float, str]
CLASSES = [("d01", ()), ("d03", ("Ines", "Bram & <Co>")), ("d12", ())]
TRACKS = [("captions.vtt", "captions"), ("chapters.vtt", "chapters"), ("counter.vtt", "metadata")]


def by_webvtt_py(text: str) -> list[ReadCue]:
    cues = webvtt.from_buffer(io.StringIO(text))
    return [(seconds(cue.start), seconds(cue.end), cue.text) for cue in cues]


def seconds(stamp: str) -> float:
    hours, minutes, rest = stamp.split(":")
    return int(hours) * 3600 + int(minutes) * 60 + float(rest)


def by_pysubs2(text: str) -> list[ReadCue]:
    events = pysubs2.SSAFile.from_string(text, format_="vtt")
    return [(event.start / 1000, event.end / 1000, event.text.replace("\\N", " ")) for event in events]


def plain(cues: list[ReadCue]) -> list[ReadCue]:
    """Times in milliseconds; text without references, which two of the readers leave, and line breaks."""
    return [(round(a, 3), round(b, 3), " ".join(html.unescape(text).split())) for a, b, text in cues]


@pytest.mark.parametrize(("name", "speakers"), CLASSES)
@pytest.mark.parametrize(("form", "kind"), TRACKS)
def test_three_readers_find_the_same_cues(
    driver: webdriver.Chrome, name: str, speakers: tuple[str, ...], form: str, kind: str
) -> None:
    text = export(example_record(name, speakers), form)
    seen = plain(load_track(driver, text, kind))
    assert len(seen) == text.count(" --> ")
    assert plain(by_webvtt_py(text)) == seen
    assert plain(by_pysubs2(text)) == seen


@pytest.mark.parametrize("read", [by_webvtt_py, by_pysubs2])
def test_cues_neither_overlap_nor_stand_still(read: Callable[[str], list[ReadCue]]) -> None:
    record: Record = example_record("d03", ("Ines", "Bram"))
    for form, _ in TRACKS:
        cues = read(export(record, form))
        assert all(start < end for start, end, _ in cues)
        assert all(a[1] <= b[0] for a, b in pairwise(cues)), form


def test_the_browser_reads_the_counter_as_json(driver: webdriver.Chrome) -> None:
    cues = load_track(driver, export(example_record("d01"), "counter.vtt"), "metadata")
    shown = [json.loads(text) for _, _, text in cues]
    assert {"exercise", "side", "range", "round", "unit", "n", "target", "left", "called"} <= set(shown[0])
    last_of_first_set = [one for one in shown if one["set"] == 0][-1]
    assert (last_of_first_set["n"], last_of_first_set["left"]) == (12, 0)
