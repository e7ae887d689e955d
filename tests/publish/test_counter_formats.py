"""The counter's files say the same to programs that are not ours, and its picture stays in the safe part.

pysubs2 and FFmpeg read them; libass, inside FFmpeg, draws the SubStation Alpha.
"""

from __future__ import annotations

import json
import random
import subprocess
from pathlib import Path

import pysubs2
import pytest
from PIL import Image
from selenium import webdriver

from pipeline.model import Rep
from pipeline.publish import export
from pipeline.publish.counter import counter_states
from tests.publish.example import example_record
from tests.publish.test_caption_formats import ACTIVE_CUES, by_ffmpeg
from tests.publish.test_counter import class_with, work

WIDE, TALL = "counter-16x9.ass", "counter-9x16.ass"
CLASSES = ["d01", "d02", "d10"]


@pytest.mark.parametrize("form", [WIDE, TALL])
@pytest.mark.parametrize("name", CLASSES)
def test_pysubs2_and_ffmpeg_read_every_count(name: str, form: str, tmp_path: Path) -> None:
    record = example_record(name)
    text = export(record, form)
    # SubStation Alpha's clock has hundredths of a second.
    wanted = [
        (one.start, one.end, one.text)
        for one in counter_states(record)
        if round(one.end * 100) > round(one.start * 100)
    ]
    events = pysubs2.SSAFile.from_string(text).events
    read = [(e.start / 1000, e.end / 1000, e.plaintext) for e in events if e.style.startswith("Count")]
    assert [text for _, _, text in read] == [text for _, _, text in wanted]
    assert all(abs(a[0] - b[0]) < 0.011 and abs(a[1] - b[1]) < 0.011 for a, b in zip(read, wanted, strict=True))
    shown = [text for _, _, text in by_ffmpeg(text, "ass", tmp_path)]
    headings = [event.plaintext for event in events if event.style == "Exercise"]
    assert sorted(shown) == sorted([*headings, *(text for _, _, text in wanted)])


def test_called_counts_and_those_by_the_clock_have_styles_of_their_own() -> None:
    record = example_record("d01")
    events = pysubs2.SSAFile.from_string(export(record, WIDE)).events
    counts = [event for event in events if event.style != "Exercise"]
    called = [state.called for state in counter_states(record)]
    assert [event.style == "Count called" for event in counts] == called
    assert [event.name == "called" for event in counts] == called


def test_what_does_not_add_up_stands_beside_the_count_not_on_it() -> None:
    record = example_record("d03")
    events = pysubs2.SSAFile.from_string(export(record, WIDE)).events
    flagged = {kind for event in events for kind in event.effect.split("; ") if kind}
    assert flagged == {finding.kind for finding in record.findings if finding.set is not None}
    assert not any(kind in event.plaintext for event in events for kind in flagged)


def test_called_counts_and_those_by_the_clock_do_not_look_alike(tmp_path: Path) -> None:
    """libass draws the same count in both styles."""
    pictures = []
    for called in (True, False):
        record = class_with(work(0, 4, target=2, reps=(Rep(1, 1, called),)))
        path = tmp_path / "counter.ass"
        path.write_text(export(record, WIDE), "utf-8")
        pictures.append(drawn(path, (1280, 720), 2).tobytes())
    assert pictures[0] != pictures[1]


@pytest.mark.parametrize(
    ("form", "size", "safe"),
    [
        (WIDE, (1280, 720), (0.05, 0.05, 0.95, 0.95)),
        (TALL, (720, 1280), (0.05, 0.05, 0.85, 0.75)),
    ],
)
def test_libass_draws_it_inside_the_safe_margins(
    form: str, size: tuple[int, int], safe: tuple[float, float, float, float], tmp_path: Path
) -> None:
    """The margins: EBU R 95's title safe area is 90 per cent each way (from memory); tall: common practice."""
    record = example_record("d02")
    path = tmp_path / form
    path.write_text(export(record, form), "utf-8")
    state = max(counter_states(record), key=lambda one: len(one.heading + one.details))
    width, height = size
    picture = drawn(path, size, (state.start + state.end) / 2)
    box = picture.point(lambda level: 255 * (level > 60)).getbbox()
    assert box is not None
    left, top, right, foot = safe
    assert box[0] >= left * width - 1
    assert box[1] >= top * height
    assert box[2] <= right * width
    assert box[3] <= foot * height


def drawn(path: Path, size: tuple[int, int], time: float) -> Image.Image:
    """Return what libass draws at a time, over black."""
    picture = f"color=black:s={size[0]}x{size[1]}:r=25:d=1,setpts=PTS+{time}/TB"
    command = ["ffmpeg", "-v", "error", "-f", "lavfi", "-i", f"{picture},ass={path}"]
    command += ["-frames:v", "1", "-f", "rawvideo", "-pix_fmt", "gray", "-"]
    return Image.frombytes("L", size, subprocess.run(command, capture_output=True, check=True).stdout)


def test_chromium_gives_the_active_count(driver: webdriver.Chrome) -> None:
    """A page's script finds the payload of the moment among the track's active cues, at 20 chosen times."""
    record = example_record("d02")
    chance = random.Random(2)
    states = counter_states(record)
    times = [round(chance.uniform(60, record.source.duration), 2) for _ in range(20)]
    wanted = [next((s.text for s in states if s.start <= time < s.end), None) for time in times]
    driver.set_script_timeout(60)
    script = (
        ACTIVE_CUES.replace('track.kind = "captions"', 'track.kind = "metadata"')
        .replace("cue.getCueAsHTML().textContent", "cue.text")
        .replace('"showing"', '"hidden"')
    )
    shown = driver.execute_async_script(script, export(record, "counter.vtt"), times, record.source.duration)
    assert [json.loads(text)["text"] if text else None for text in shown] == wanted
    assert sum(text is not None for text in wanted) >= 5
