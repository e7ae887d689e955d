"""What a copy holds in memory."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

from pipeline.model import Record
from tests.embed.films import FFMPEG

PEAK = """
import resource, sys
from pathlib import Path
from pipeline.embed import embed
from pipeline.record_json import from_json
embed(Path(sys.argv[1]), from_json(Path(sys.argv[2]).read_text("utf-8")), Path(sys.argv[3]))
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


def test_nothing_is_held_back_until_the_first_caption(short_record: Record, tmp_path: Path) -> None:
    """FFmpeg would hold 10 s of picture for a caption track that is silent: here 33 MiB (peaks are in KiB on Linux)."""
    film = tmp_path / "film.mkv"
    picture = (
        "-f",
        "lavfi",
        "-i",
        "testsrc2=s=320x240:r=30:d=40,noise=alls=99:allf=t",
        "-f",
        "lavfi",
        "-i",
        "sine=d=40",
    )
    subprocess.run((*FFMPEG, *picture, "-c:v", "ffv1", str(film)), check=True)
    peaks = []
    for name, record in (("none", replace(short_record, words=(), pieces=())), ("late", _late(short_record, 25))):
        written = tmp_path / f"{name}.json"
        written.write_text(record.to_json(), "utf-8")
        command = (sys.executable, "-c", PEAK, str(film), str(written), str(tmp_path / f"{name}.mkv"))
        peaks.append(int(subprocess.run(command, check=True, capture_output=True, text=True).stdout))
    assert peaks[1] - peaks[0] < 12 * 1024


def _late(record: Record, seconds: float) -> Record:
    """Return a record whose words come so much later; those past its end are left out."""
    end = record.source.duration
    words = tuple(
        replace(one, start=one.start + seconds, end=one.end + seconds)
        for one in record.words
        if one.end + seconds < end
    )
    pieces = tuple(
        replace(one, start=one.start + seconds, end=min(one.end + seconds, end))
        for one in record.pieces
        if one.stop <= len(words)
    )
    return replace(record, words=words, pieces=pieces)
