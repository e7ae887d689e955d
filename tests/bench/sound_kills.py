"""Kill ``repslate analyze`` on a recording at random moments, start it again, and compare the records.

The command is run as a user runs it, and ended by the signal that nothing can catch. The moments are spread over
the time that an undisturbed run takes, start-up, recognition, second look and writing included.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

RECORD = "record.json"
SEED = 20


def kill_and_go_on(sound: Path, times: int) -> Iterator[str]:
    """Give a line for each kill: after how long, what had been kept, and whether the record is the same."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        begun = time.monotonic()
        _start(sound, folder / "undisturbed").wait()
        seconds = time.monotonic() - begun
        expected = _record(folder / "undisturbed", sound)
        moments = random.Random(SEED)
        for number in range(1, times + 1):
            place = folder / str(number)
            moment = moments.uniform(0.0, seconds)
            run = _start(sound, place)
            try:
                run.wait(moment)
                ended = "had ended"
            except subprocess.TimeoutExpired:
                run.kill()
                run.wait()
                ended = f"killed with {_kept(place)} kept"
            left_over = [path.name for path in place.rglob("*.tmp")]
            _start(sound, place).wait()
            same = "the same record" if _record(place, sound) == expected else "ANOTHER RECORD"
            yield f"{moment:6.1f} s of {seconds:.1f}: {ended}, {len(left_over)} half-written files; {same}"


def _start(sound: Path, place: Path) -> subprocess.Popen[bytes]:
    place.mkdir(exist_ok=True)
    command = [sys.executable, "-m", "pipeline.cli", "analyze", str(sound), "-o", str(place), "--quiet"]
    command += ["--device", "cpu", "--threads", "1"]
    return subprocess.Popen(command, env={**os.environ, "XDG_CACHE_HOME": str(place / "cache")})


def _record(place: Path, sound: Path) -> bytes:
    return (place / sound.stem / RECORD).read_bytes()


def _kept(place: Path) -> str:
    lines = sum(len(path.read_bytes().splitlines()) for path in (place / "cache").rglob("*.jsonl"))
    return f"{lines} lines"
