"""The overlay as real programs see it: FFmpeg decodes it, Chromium plays it, an OCR library reads it."""

from __future__ import annotations

import base64
import json
import random
import re
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from rapidocr import RapidOCR
from selenium import webdriver

from pipeline.model import InputError, Record
from pipeline.overlay import picture, render, video
from pipeline.overlay.spans import spans
from pipeline.publish.counter import counter_states
from tests.publish.example import example_record

SIZE, RATE = (1280, 720), Fraction(30)


@pytest.fixture(scope="module")
def overlay(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The overlay of one class with reps, sides, rounds and timed sets."""
    path = tmp_path_factory.mktemp("overlay") / "counter.webm"
    render(example_record("d02"), path, SIZE, RATE)
    return path


def decoded(path: Path, time: float, size: tuple[int, int] = SIZE) -> Image.Image:
    """Return the frame that FFmpeg shows at a time, with its alpha."""
    command = ["ffmpeg", "-v", "error", "-c:v", "libvpx-vp9", "-ss", f"{time:.3f}", "-i", str(path)]
    command += ["-frames:v", "1", "-f", "rawvideo", "-pix_fmt", "rgba", "-"]
    pixels = subprocess.run(command, capture_output=True, check=True).stdout
    return Image.frombytes("RGBA", size, pixels)


def before_a_wall(frame: Image.Image) -> NDArray[np.uint8]:
    """Return a frame laid over a plain green, as a class would lie under it."""
    wall = Image.new("RGBA", frame.size, (96, 128, 100, 255))
    wall.alpha_composite(frame)
    return np.asarray(wall.convert("RGB"))


def test_the_number_read_is_the_number_due(overlay: Path) -> None:
    """40 random times (the seed is fixed), read by rapidocr."""
    chance = random.Random(20)
    reader = RapidOCR(params={"Global.log_level": "error"})
    states = [one for one in counter_states(example_record("d02")) if one.end - one.start > 0.2]
    for due in chance.sample(states, 40):
        time = chance.uniform(due.start + 0.05, due.end - 0.05)
        frame = decoded(overlay, time)
        (read,) = reader(count_row(frame), use_det=False, use_cls=False).txts
        assert re.findall(r"\d+|left", read) == re.findall(r"\d+|left", due.text), (time, due.text, read)


def count_row(frame: Image.Image) -> NDArray[np.uint8]:
    """Return the row of the panel that holds the count, above its bar, as high as the count's letters."""
    left, _, right, foot = frame.getchannel("A").point(lambda alpha: 255 * (alpha > 128)).getbbox() or ()
    unit = min(frame.size)
    bottom = foot - round((picture.PAD + picture.BAR) * unit)
    return before_a_wall(frame.crop((left, bottom - round((picture.COUNT + 0.03) * unit), right, bottom)))


def test_between_sets_there_is_nothing_to_see(overlay: Path) -> None:
    gaps = [span for span in spans(example_record("d02"), RATE) if span.state is None]
    for gap in [gaps[0], *gaps[len(gaps) // 2 :][:3]]:
        middle = float((gap.first + gap.stop) / 2 / RATE)
        assert decoded(overlay, middle).getchannel("A").getextrema()[1] <= 1


@pytest.mark.parametrize("rate", [Fraction(25), Fraction(30000, 1001)])
def test_the_frames_are_as_many_and_as_even_as_asked_for(tmp_path: Path, rate: Fraction) -> None:
    record = first_minutes(example_record("d01"), 130)
    path = tmp_path / "counter.webm"
    render(record, path, (320, 180), rate)
    command = ["ffprobe", "-v", "error", "-count_frames", "-of", "json", "-show_streams", "-show_packets"]
    told = json.loads(subprocess.run([*command, str(path)], capture_output=True, check=True).stdout)
    (stream,) = told["streams"]
    assert (stream["codec_name"], stream["width"], stream["height"]) == ("vp9", 320, 180)
    assert int(stream["nb_read_frames"]) == -(-130 * rate // 1)
    assert Fraction(stream["r_frame_rate"]) == rate
    times = [float(packet["pts_time"]) for packet in told["packets"]]
    # WebM's clock has whole milliseconds.
    assert all(abs(time - float(i / rate)) <= 0.001 for i, time in enumerate(times))
    assert stream["tags"]["ALPHA_MODE"] == "1"


def test_the_browser_plays_it_transparent(overlay: Path, driver: webdriver.Chrome) -> None:
    """Chromium's own decoder: a pixel of the panel is dark and nearly solid, one beside it clear."""
    due = counter_states(example_record("d02"))[5]
    middle = (due.start + due.end) / 2
    data = base64.b64encode(overlay.read_bytes()).decode("ascii")
    driver.set_script_timeout(60)
    panel, beside, length = driver.execute_async_script(SHOW_AT, data, middle)
    assert panel[3] == pytest.approx(picture.PANEL[3], abs=6)
    assert panel[:3] == pytest.approx(list(picture.PANEL[:3]), abs=12)
    assert beside[3] <= 1
    assert length == pytest.approx(example_record("d02").source.duration, abs=0.05)


SHOW_AT = """
const [data, time, done] = arguments;
const bytes = Uint8Array.from(atob(data), c => c.charCodeAt(0));
const video = document.body.appendChild(document.createElement("video"));
const pixel = (context, x, y) => [...context.getImageData(x, y, 1, 1).data];
video.muted = true;
video.onseeked = () => setTimeout(() => {
  const canvas = document.createElement("canvas");
  canvas.width = video.videoWidth;
  canvas.height = video.videoHeight;
  const context = canvas.getContext("2d");
  context.drawImage(video, 0, 0);
  done([pixel(context, 72, 600), pixel(context, 1200, 100), video.duration]);
}, 500);
video.onloadedmetadata = () => { video.currentTime = time; };
video.onerror = () => done([[0, 0, 0, -1], [0, 0, 0, -1], video.error.message]);
video.src = URL.createObjectURL(new Blob([bytes], {type: "video/webm"}));
"""


def test_a_picture_that_stays_is_not_drawn_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    record = first_minutes(example_record("d01"), 180)
    drawn = []
    draw = picture.draw

    def count(state: object, size: tuple[int, int]) -> Image.Image:
        drawn.append(state)
        return draw(state, size)  # type: ignore[arg-type]

    monkeypatch.setattr(video, "draw", count)
    done: list[tuple[int, int]] = []
    render(record, tmp_path / "counter.webm", (320, 180), RATE, lambda *at: done.append(at))
    assert len(drawn) == len(list(spans(record, RATE))) < 40
    assert done[-1] == (5400, 5400)
    assert done == sorted(done)


def test_the_memory_stays_flat(tmp_path: Path) -> None:
    """A class eight times as long needs no more memory, give or take what a few pictures need."""
    peaks = [peak_memory(tmp_path, seconds) for seconds in (120, 960)]
    assert peaks[1] - peaks[0] < 24


def peak_memory(folder: Path, seconds: int) -> float:
    """Return the megabytes that rendering some seconds of a class takes at most, in a process of its own."""
    code = (
        "import resource, sys; from pathlib import Path; from fractions import Fraction\n"
        "from pipeline.overlay import render; from tests.overlay.test_video import first_minutes\n"
        "from tests.publish.example import example_record\n"
        f"record = first_minutes(example_record('d01'), {seconds})\n"
        "render(record, Path(sys.argv[1]), (640, 360), Fraction(30))\n"
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)"
    )
    command = [sys.executable, "-c", code, str(folder / "counter.webm")]
    return float(subprocess.run(command, capture_output=True, check=True).stdout)


def first_minutes(record: Record, seconds: float) -> Record:
    return replace(record, source=replace(record.source, duration=seconds))


@pytest.mark.parametrize("size", [(1281, 720), (1280, 0), (64, 64), (20000, 720)])
def test_a_size_that_is_no_videos_is_told_in_one_line(tmp_path: Path, size: tuple[int, int]) -> None:
    with pytest.raises(InputError, match=f"size: {size[0]}x{size[1]} is no size .* even numbers"):
        render(example_record(), tmp_path / "counter.webm", size)
    assert list(tmp_path.iterdir()) == []


def test_a_rate_that_is_no_videos_is_told_in_one_line(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="rate: 0 is no rate"):
        render(example_record(), tmp_path / "counter.webm", SIZE, Fraction(0))


def test_a_folder_that_is_not_there_is_told_in_one_line(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"counter\.webm: cannot be written"):
        render(example_record(), tmp_path / "nowhere" / "counter.webm")


def test_what_fails_halfway_leaves_nothing(tmp_path: Path) -> None:
    def stop(done: int, total: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        render(example_record(), tmp_path / "counter.webm", (320, 180), RATE, stop)
    assert list(tmp_path.iterdir()) == []
