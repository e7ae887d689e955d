"""Films that are not as an editor's program exports them: late clocks, repeated times, other codecs, no times."""

from __future__ import annotations

import subprocess
from itertools import pairwise
from pathlib import Path

import pytest

from pipeline.embed import embed
from pipeline.model import InputError, Record
from pipeline.publish.captions import cut_captions
from pipeline.publish.chapter_list import listed_chapters
from tests.embed.films import FFMPEG, captions_of, make_film, picture_start, probe, stream_hashes


def test_a_film_whose_clock_starts_late_is_read_from_its_start(short_record: Record, tmp_path: Path) -> None:
    film = make_film(tmp_path / "late.ts", 40, options=("-f", "mpegts"))
    assert float(probe(film)["format"]["start_time"]) > 1
    output = tmp_path / "out.mkv"
    embed(film, short_record, output)
    read = probe(output)
    assert float(read["format"]["start_time"]) == pytest.approx(0, abs=0.05)
    shown = picture_start(output)
    starts = [float(one["start_time"]) - shown for one in read["chapters"][1:]]
    wanted = [one.start for one in listed_chapters(short_record)][1:]
    assert starts == pytest.approx(wanted, abs=1 / 25)
    assert captions_of(output).count(" --> ") == len(cut_captions(short_record))


def test_a_turned_film_stays_turned(short_record: Record, tmp_path: Path) -> None:
    """A telephone held upright films lying down, and says so beside the picture."""
    lying = make_film(tmp_path / "lying.mp4", 40)
    film = tmp_path / "upright.mp4"
    turn = ("-i", str(lying), "-c", "copy", "-metadata:s:v:0", "rotate=270", str(film))
    subprocess.run((*FFMPEG, *turn), check=True)
    turned = rotations(film)
    assert turned in ([90], [-90])
    embed(film, short_record, tmp_path / "out.mp4")
    assert rotations(tmp_path / "out.mp4") == turned


def rotations(path: Path) -> list[int]:
    picture = next(s for s in probe(path)["streams"] if s["codec_type"] == "video")
    return [side["rotation"] for side in picture.get("side_data_list", []) if "rotation" in side]


def packet_times(path: Path, stream: str) -> list[float]:
    """Return when the packets of a stream are decoded, in seconds, as ffprobe reads them."""
    command = (
        "ffprobe",
        "-v",
        "error",
        "-select_streams",
        stream,
        "-show_entries",
        "packet=dts_time",
        "-of",
        "csv=p=0",
    )
    done = subprocess.run((*command, str(path)), check=True, capture_output=True, text=True)
    return [float(line.strip(",")) for line in done.stdout.split()]


def test_packets_of_one_time_go_into_mp4_one_after_the_other(short_record: Record, tmp_path: Path) -> None:
    """A film strung together of takes: at a joint two packets come to share a millisecond, which is all that
    Matroska keeps (RFC 9559, 11.2, its usual scale); in MP4 times must rise.
    """
    take = make_film(tmp_path / "take.mp4", 4)
    film = tmp_path / "film.mkv"
    subprocess.run((*FFMPEG, "-stream_loop", "39", "-i", str(take), "-c", "copy", str(film)), check=True)
    shared = packet_times(film, "a")
    assert len(set(shared)) < len(shared)
    output = tmp_path / "out.mp4"
    embed(film, short_record, output)
    rising = packet_times(output, "a")
    assert all(a < b for a, b in pairwise(rising))
    assert rising == pytest.approx(shared, abs=0.001)
    assert stream_hashes(output) == stream_hashes(film)


def test_a_picture_that_mp4_cannot_hold_is_told(short_record: Record, tmp_path: Path) -> None:
    film = tmp_path / "film.webm"
    inputs = ("-f", "lavfi", "-i", "testsrc2=s=32x32:r=5:d=40", "-f", "lavfi", "-i", "sine=d=40")
    subprocess.run((*FFMPEG, *inputs, "-c:v", "libvpx", "-c:a", "libvorbis", str(film)), check=True)
    with pytest.raises(InputError, match=r"vp8.*mp4 cannot hold.*\.mkv"):
        embed(film, short_record, tmp_path / "out.mp4")
    assert [one.name for one in tmp_path.iterdir()] == ["film.webm"]
    embed(film, short_record, tmp_path / "out.mkv")
    assert stream_hashes(tmp_path / "out.mkv") == stream_hashes(film)


def test_a_stream_without_times_is_refused_and_nothing_left(short_record: Record, tmp_path: Path) -> None:
    film = make_film(tmp_path / "bare.h264", 40, options=("-an", "-f", "h264"))
    with pytest.raises(InputError, match="packet that cannot be copied"):
        embed(film, short_record, tmp_path / "out.mp4")
    assert [one.name for one in tmp_path.iterdir()] == ["bare.h264"]
