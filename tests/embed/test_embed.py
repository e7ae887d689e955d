"""Chapters and captions in a film, read back by ffprobe, ffmpeg, mkvmerge and mkvextract."""

from __future__ import annotations

import json
import os
import re
import resource
import signal
import subprocess
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pysubs2
import pytest

from pipeline.embed import embed
from pipeline.model import InputError, Record
from pipeline.publish.captions import cut_captions
from pipeline.publish.chapter_list import listed_chapters
from tests.embed.films import captions_of, make_film, mkvextract, picture_start, probe, stream_hashes
from tests.publish.example import example_record
from tests.publish.records import ANALYSED, record_of

CAPTIONS = [name for name in ANALYSED if name.endswith("captions")]
RATES = {"24000/1001": 23.976, "25": 25, "60000/1001": 59.94}


@pytest.fixture(scope="module")
def record() -> Record:
    return example_record("d03")


@pytest.fixture(scope="module", params=list(RATES))
def film(request: pytest.FixtureRequest, record: Record, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("film") / "class.mp4"
    tags = ("-metadata:s:a:0", "language=fra")
    length = record.source.duration + 3
    return make_film(path, length, size="32x32", rate=request.param, bits="20k", options=tags)


def frame(path: Path) -> Fraction:
    picture = next(s for s in probe(path)["streams"] if s["codec_type"] == "video")
    return 1 / Fraction(picture["r_frame_rate"])


@pytest.mark.parametrize("ending", [".mp4", ".mkv"])
def test_no_packet_changes_and_no_chapter_is_lost_or_moved_by_a_frame(
    film: Path, record: Record, tmp_path: Path, ending: str
) -> None:
    output = tmp_path / f"out{ending}"
    embed(film, record, output)
    assert stream_hashes(output) == stream_hashes(film)
    listed = listed_chapters(record)
    read = probe(output)["chapters"]
    assert [one["tags"]["title"] for one in read] == [one.title for one in listed]
    shown = picture_start(output)
    for one, wanted in zip(read[1:], listed[1:], strict=True):
        assert abs(float(one["start_time"]) - shown - wanted.start) < frame(film)
    assert float(read[0]["start_time"]) == 0


@pytest.fixture(scope="module")
def long_film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A film as long as the longest development class."""
    length = max(record_of(name).source.duration for name in CAPTIONS)
    return make_film(tmp_path_factory.mktemp("film") / "long.mp4", length, size="32x32", rate="5", bits="10k")


@pytest.mark.parametrize("name", CAPTIONS)
def test_every_development_class_goes_into_a_film_whole(name: str, long_film: Path, tmp_path: Path) -> None:
    record = record_of(name)
    output = tmp_path / ("out.mp4" if CAPTIONS.index(name) % 2 else "out.mkv")
    copied = embed(long_film, record, output, grain="set")
    listed = listed_chapters(record, "set")
    read = probe(output)["chapters"]
    assert [one["tags"]["title"] for one in read] == [one.title for one in listed]
    shown = picture_start(output)
    for one, wanted in zip(read[1:], listed[1:], strict=True):
        assert abs(float(one["start_time"]) - shown - wanted.start) < 1 / 60  # the shortest frame there is
    assert stream_hashes(output) == stream_hashes(long_film)
    assert captions_of(output).count(" --> ") == copied.captions == len(cut_captions(record))


@pytest.mark.parametrize("ending", [".mp4", ".mkv"])
def test_the_caption_track_says_what_the_captions_say(film: Path, record: Record, tmp_path: Path, ending: str) -> None:
    output = tmp_path / f"out{ending}"
    copied = embed(film, record, output)
    read = pysubs2.SSAFile.from_string(captions_of(output), format_="srt")
    captions = cut_captions(record)
    assert len(read) == len(captions) == copied.captions
    shown = picture_start(output)
    for event, caption in zip(read, captions, strict=True):
        assert event.plaintext == "\n".join(caption.lines)
        assert event.start / 1000 - shown == pytest.approx(caption.start, abs=0.002)
        assert event.end / 1000 - shown == pytest.approx(caption.end, abs=0.002)


def test_tracks_keep_their_language(film: Path, record: Record, tmp_path: Path) -> None:
    output = tmp_path / "out.mkv"
    embed(film, record, output)
    streams = probe(output)["streams"]
    assert [s["codec_type"] for s in streams] == ["video", "audio", "subtitle"]
    assert [s["tags"].get("language") for s in streams[1:]] == ["fra", "eng"]


def test_mkvmerge_and_mkvextract_read_the_matroska_file(short_film: Path, short_record: Record, tmp_path: Path) -> None:
    output = tmp_path / "out.mkv"
    embed(short_film, short_record, output)
    done = subprocess.run(("mkvmerge", "-J", str(output)), check=True, capture_output=True, text=True)
    read = json.loads(done.stdout)
    assert read["chapters"][0]["num_entries"] == 3
    assert [track["type"] for track in read["tracks"]] == ["video", "audio", "subtitles"]
    assert not read["errors"]
    assert not read["warnings"]
    chapters = ElementTree.fromstring(mkvextract(output, "chapters"))
    titles = [one.text for one in chapters.iter("ChapterString")]
    assert titles == ["Squat & press", "Rücken <hoch>", "Row = pull; #3"]


def test_chapters_of_the_film_are_replaced(short_film: Path, short_record: Record, tmp_path: Path) -> None:
    once, twice = tmp_path / "once.mp4", tmp_path / "twice.mp4"
    embed(short_film, short_record, once)
    renamed = replace(short_record, chapters=(replace(short_record.chapters[0], end=30.0, title="All of it"),))
    copied = embed(once, renamed, twice)
    assert [one["tags"]["title"] for one in probe(twice)["chapters"]] == ["All of it"]
    assert copied.left_out == ()
    kinds = [one["codec_name"] for one in probe(twice)["streams"]]
    assert kinds.count("mov_text") == 2  # the caption track that was there, and the new one


def test_caption_tracks_that_mp4_cannot_hold_are_named(short_record: Record, tmp_path: Path) -> None:
    film = make_film(tmp_path / "film.mkv", 40)
    with_captions = tmp_path / "with.mkv"
    embed(film, short_record, with_captions)
    copied = embed(with_captions, short_record, tmp_path / "out.mp4")
    assert copied.left_out == ("stream 2 (subtitle, subrip)",)
    assert stream_hashes(tmp_path / "out.mp4") == stream_hashes(film)


def test_the_film_itself_is_never_written_over(short_film: Path, short_record: Record, tmp_path: Path) -> None:
    before = short_film.read_bytes()
    link = tmp_path / "link.mp4"
    os.link(short_film, link)
    for output in (short_film, link):
        with pytest.raises(InputError, match="never written over"):
            embed(short_film, short_record, output)
    assert short_film.read_bytes() == before


@pytest.mark.parametrize("content", [b"", b"no film at all\n" * 50])
def test_what_is_no_film_is_told_in_one_line(short_record: Record, tmp_path: Path, content: bytes) -> None:
    film = tmp_path / "film.mp4"
    film.write_bytes(content)
    with pytest.raises(InputError, match=re.escape(str(film))) as told:
        embed(film, short_record, tmp_path / "out.mkv")
    assert "\n" not in str(told.value)
    assert [one.name for one in tmp_path.iterdir()] == ["film.mp4"]


def test_a_missing_film_a_wrong_ending_and_a_missing_folder_are_told(
    short_film: Path, short_record: Record, tmp_path: Path
) -> None:
    with pytest.raises(InputError, match="cannot be read as a film"):
        embed(tmp_path / "none.mp4", short_record, tmp_path / "out.mkv")
    with pytest.raises(InputError, match="neither MP4 nor Matroska"):
        embed(short_film, short_record, tmp_path / "out.avi")
    with pytest.raises(InputError, match="folder that there is not"):
        embed(short_film, short_record, tmp_path / "none" / "out.mp4")


def test_a_record_of_a_longer_class_is_refused(short_film: Path, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="before the record's last chapter"):
        embed(short_film, example_record("d03"), tmp_path / "out.mp4")
    assert not (tmp_path / "out.mp4").exists()


def test_a_copy_that_fails_half_way_leaves_nothing(
    short_film: Path, short_record: Record, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    output = tmp_path / "out.mp4"
    output.write_bytes(b"what was there before")
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    ignored = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, before[1]))
    try:
        with pytest.raises(InputError, match="cannot be written"):
            embed(short_film, short_record, output)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, ignored)
    assert output.read_bytes() == b"what was there before"
    assert sorted(one.name for one in tmp_path.iterdir()) == ["out.mp4", "short.mp4"]
