"""The captions of all formats say the same to programs that are not ours.

webvtt-py, pysubs2 and FFmpeg read WebVTT and SubRip, ttconv reads TTML, and Chromium shows the active cue of a
track as a video goes on.
"""

from __future__ import annotations

import html
import io
import random
import re
import subprocess
import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from pathlib import Path

import pysubs2
import pytest
import ttconv.imsc.reader
import webvtt
from selenium import webdriver
from ttconv import model
from ttconv.isd import ISD

from pipeline.model import InputError
from pipeline.publish import export
from pipeline.publish.captions import cut_captions
from tests.publish.example import example_record
from tests.publish.test_captions import said

ReadCue = tuple[float, float, str]
CLASSES = [("d01", ()), ("d03", ("Ines", "Bram")), ("d12", ())]


def due(name: str, speakers: tuple[str, ...]) -> list[ReadCue]:
    captions = cut_captions(example_record(name, speakers))
    return [(one.start, one.end, "\n".join(one.lines)) for one in captions]


def by_pysubs2(text: str, form: str) -> list[ReadCue]:
    events = pysubs2.SSAFile.from_string(text, format_=form).events
    return [(one.start / 1000, one.end / 1000, one.plaintext) for one in events]


def by_ffmpeg(text: str, form: str, folder: Path) -> list[ReadCue]:
    """What FFmpeg's own reader understands, written by it as SubRip."""
    path = folder / f"captions.{form}"
    path.write_text(text, "utf-8")
    command = ["ffmpeg", "-v", "error", "-i", str(path), "-f", "srt", "-"]
    read = subprocess.run(command, capture_output=True, check=True).stdout.decode("utf-8")
    cues = []
    for block in read.strip().split("\n\n"):
        _, times, *lines = block.split("\n")
        start, end = (seconds(stamp) for stamp in times.split(" --> "))
        # Its writer adds the look as tags.
        cues.append((start, end, re.sub(r"<[^>]*>|\{[^}]*\}", "", "\n".join(lines))))
    return cues


def by_webvtt_py(text: str) -> list[ReadCue]:
    return [(seconds(cue.start), seconds(cue.end), cue.text) for cue in webvtt.from_buffer(io.StringIO(text))]


def seconds(stamp: str) -> float:
    hours, minutes, rest = stamp.replace(",", ".").split(":")
    return round(int(hours) * 3600 + int(minutes) * 60 + float(rest), 3)


def plain(cues: list[ReadCue]) -> list[ReadCue]:
    """Texts without the references and blanks that some of the readers leave as they are."""
    return [(start, end, " ".join(html.unescape(text).split())) for start, end, text in cues]


@pytest.mark.parametrize(("name", "speakers"), CLASSES)
def test_readers_of_webvtt_and_subrip_agree(name: str, speakers: tuple[str, ...], tmp_path: Path) -> None:
    record, wanted = example_record(name, speakers), plain(due(name, speakers))
    track, subrip = export(record, "captions.vtt"), export(record, "captions.srt")
    assert plain(by_webvtt_py(track)) == wanted
    assert plain(by_pysubs2(track, "vtt")) == wanted
    assert plain(by_pysubs2(subrip, "srt")) == wanted
    assert plain(by_ffmpeg(track, "vtt", tmp_path)) == wanted
    assert plain(by_ffmpeg(subrip, "srt", tmp_path)) == wanted


@pytest.mark.parametrize(("name", "speakers"), CLASSES)
def test_ttconv_reads_the_ttml_back(name: str, speakers: tuple[str, ...]) -> None:
    text = export(example_record(name, speakers), "captions.ttml")
    document = ttconv.imsc.reader.to_model(ElementTree.ElementTree(ElementTree.fromstring(text)))
    assert document is not None
    assert document.get_content_profiles() == {"http://www.w3.org/ns/ttml/profile/imsc1.1/text"}
    body = document.get_body()
    assert body is not None
    read = [
        (float(one.get_begin() or 0), float(one.get_end() or 0), text_of(one))
        for one in body.dfs_iterator()
        if isinstance(one, model.P)
    ]
    assert read == due(name, speakers)


def text_of(paragraph: model.ContentElement) -> str:
    parts = [
        "\n" if isinstance(one, model.Br) else one.get_text()
        for one in paragraph.dfs_iterator()
        if isinstance(one, (model.Br, model.Text))
    ]
    return "".join(parts)


def test_ttml_shows_each_caption_in_the_safe_part_of_the_picture() -> None:
    """ttconv's own rendering (intermediate synchronic documents) of three moments."""
    record = example_record("d01")
    text = export(record, "captions.ttml")
    document = ttconv.imsc.reader.to_model(ElementTree.ElementTree(ElementTree.fromstring(text)))
    for caption in cut_captions(record)[10:200:60]:
        shown = ISD.from_model(document, (caption.start + caption.end) / 2)
        assert shown is not None
        (region,) = shown.iter_regions()
        texts = [one.get_text() for one in region.dfs_iterator() if isinstance(one, model.Text)]
        assert texts == list(caption.lines)


def test_ttml_names_what_is_spoken_too_fast_in_a_comment() -> None:
    record = replace(
        example_record(), words=tuple(said("go " * 80, rate=6)), pieces=(), numbers=(), chapters=(), sets=(),
        findings=(), cues=(),
    )  # fmt: skip
    text = export(record, "captions.ttml")
    assert "<!-- Speech too fast for 180 words a minute, with the pace: 00:00:00.000 (" in text
    assert ElementTree.fromstring(text).tag == "{http://www.w3.org/ns/ttml}tt"


@pytest.mark.parametrize("name", ["d01", "d12"])
def test_chromium_shows_the_active_caption(driver: webdriver.Chrome, name: str) -> None:
    """The cues that a playing video would show at 20 chosen times (HTML, "text track active cues")."""
    record = example_record(name)
    chance = random.Random(name)
    captions = cut_captions(record)
    times = [round(chance.uniform(0, record.source.duration), 2) for _ in range(20)]
    wanted = [" ".join(" ".join(c.lines) for c in captions if c.start <= time < c.end) for time in times]
    length = record.source.duration
    driver.set_script_timeout(60)
    shown = driver.execute_async_script(ACTIVE_CUES, export(record, "captions.vtt"), times, length)
    assert [" ".join(re.sub(r"\s+", " ", text).split()) for text in shown] == wanted
    assert sum(map(bool, wanted)) >= 10


ACTIVE_CUES = """
const [text, times, length, done] = arguments;
const rate = 8000, samples = Math.ceil(length * rate);
const wav = new DataView(new ArrayBuffer(44 + samples));
const write = (at, word) => [...word].forEach((c, i) => wav.setUint8(at + i, c.charCodeAt(0)));
write(0, "RIFF"); wav.setUint32(4, 36 + samples, true); write(8, "WAVEfmt ");
wav.setUint32(16, 16, true); wav.setUint16(20, 1, true); wav.setUint16(22, 1, true);
wav.setUint32(24, rate, true); wav.setUint32(28, rate, true); wav.setUint16(32, 1, true);
wav.setUint16(34, 8, true); write(36, "data"); wav.setUint32(40, samples, true);
const video = document.body.appendChild(document.createElement("video"));
const track = video.appendChild(document.createElement("track"));
track.kind = "captions";
track.track.mode = "showing";
track.src = URL.createObjectURL(new Blob([text], {type: "text/vtt"}));
const shown = [];
const next = () => {
  if (shown.length === times.length) return done(shown);
  video.currentTime = times[shown.length];
};
video.onseeked = () => setTimeout(() => {
  shown.push([...track.track.activeCues].map(cue => cue.getCueAsHTML().textContent).join(" "));
  next();
}, 100);
track.onload = () => { video.src = URL.createObjectURL(new Blob([wav], {type: "audio/wav"})); };
video.onloadedmetadata = next;
"""


@pytest.mark.parametrize("length", [24, 32, 42])
@pytest.mark.parametrize("form", ["captions.vtt", "captions.srt", "captions.ttml"])
def test_the_length_of_lines_can_be_set(form: str, length: int) -> None:
    captions = cut_captions(example_record("d01"), length)
    assert max(len(line) for one in captions for line in one.lines) in range(length - 3, length + 1)
    assert captions[0].lines[0] in export(example_record("d01"), form, line_length=length)


@pytest.mark.parametrize("length", [0, 15, 81])
def test_a_length_that_holds_no_words_is_told(length: int) -> None:
    with pytest.raises(InputError, match=f"lines of {length} characters cannot be cut; 16 to 80"):
        export(example_record("d01"), "captions.srt", line_length=length)
