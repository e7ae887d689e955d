"""Films for the tests, made by FFmpeg, and what its programs read of a film."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

FFMPEG = ("ffmpeg", "-nostdin", "-v", "error", "-y")


def make_film(
    path: Path,
    seconds: float = 30,
    size: str = "160x90",
    rate: str = "25",
    bits: str = "100k",
    options: tuple[str, ...] = (),
) -> Path:
    """Make a film of a test picture and a tone, with pictures that refer to later ones."""
    picture = f"testsrc2=s={size}:r={rate}:d={seconds},noise=alls=8"
    video = ("-c:v", "libx264", "-preset", "ultrafast", "-bf", "2", "-g", "60", "-b:v", bits)
    sound = ("-f", "lavfi", "-i", f"sine=d={seconds}")
    command = (*FFMPEG, "-f", "lavfi", "-i", picture, *sound, *video, "-c:a", "aac", *options, str(path))
    subprocess.run(command, check=True)
    return path


def probe(path: Path) -> dict[str, Any]:
    """Return what ffprobe reads: ``format``, ``streams`` and ``chapters``."""
    command = ("ffprobe", "-v", "error", "-of", "json", "-show_format", "-show_streams", "-show_chapters")
    done = subprocess.run((*command, str(path)), check=True, capture_output=True, text=True)
    read: dict[str, Any] = json.loads(done.stdout)
    return read


def stream_hashes(path: Path) -> list[str]:
    """Return FFmpeg's SHA-256 of the packets of each picture and sound stream."""
    command = (*FFMPEG, "-i", str(path), "-map", "0:v", "-map", "0:a", "-c", "copy", "-f", "streamhash", "-")
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout.splitlines()


def captions_of(path: Path) -> str:
    """Return the first caption track as SubRip text."""
    command = (*FFMPEG, "-i", str(path), "-map", "0:s:0", "-f", "srt", "-")
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def mkvextract(path: Path, what: str) -> str:
    """Return what mkvextract takes out of a Matroska file, such as its ``chapters``."""
    return subprocess.run(("mkvextract", str(path), what), check=True, capture_output=True, text=True).stdout


def picture_start(path: Path) -> float:
    """Return when the first picture is shown, in seconds."""
    return float(next(s for s in probe(path)["streams"] if s["codec_type"] == "video")["start_time"])
