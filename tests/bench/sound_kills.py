"""Kill ``repslate analyze`` on a recording at random moments, start it again, and compare the records.

The command is run as a user runs it, and ended by the signal that nothing can catch. The moments are spread over
the processor seconds that an undisturbed run takes, start-up, recognition, second look and writing included, as
those are much the same on a busy machine as on an idle one. Needs Linux, whose ``/proc`` tells them.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

RECORD = "record.json"
SEED = 20
POLL = 0.02
"""Seconds between two looks at how long a run has taken."""


def kill_and_go_on(sound: Path, times: int) -> Iterator[str]:
    """Give a line a kill: after how many processor seconds, what was kept by then, whether the record is the same."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        seconds = _run(sound, folder / "undisturbed", None)
        expected = _record(folder / "undisturbed", sound)
        moments = random.Random(SEED)
        for number in range(1, times + 1):
            place = folder / str(number)
            moment = moments.uniform(0.0, seconds)
            _run(sound, place, moment)
            kept = _kept(place)
            left_over = [path.name for path in place.rglob("*.tmp")]
            _run(sound, place, None)
            same = "the same record" if _record(place, sound) == expected else "ANOTHER RECORD"
            yield f"{moment:6.1f} s of {seconds:.1f}: {kept} lines kept, {len(left_over)} half-written files; {same}"


def _run(sound: Path, place: Path, moment: float | None) -> float:
    """Analyse a recording, killed after so many processor seconds where a moment is given; return those it took."""
    place.mkdir(exist_ok=True)
    command = [sys.executable, "-m", "pipeline.cli", "analyze", str(sound), "-o", str(place), "--quiet"]
    command += ["--device", "cpu", "--threads", "1"]
    taken = 0.0
    with subprocess.Popen(command, env={**os.environ, "XDG_CACHE_HOME": str(place / "cache")}) as run:
        while run.poll() is None:
            taken = _processor_seconds(run.pid) or taken
            if moment is not None and taken >= moment:
                run.kill()
            time.sleep(POLL)
    return taken


def _processor_seconds(process: int) -> float:
    """Return what a process has taken so far, 0 where it has just ended."""
    with suppress(OSError):
        fields = Path(f"/proc/{process}/stat").read_text("ascii").rpartition(")")[2].split()
        user, system = fields[11:13]
        return (int(user) + int(system)) / os.sysconf("SC_CLK_TCK")
    return 0.0


def _record(place: Path, sound: Path) -> bytes:
    return (place / sound.stem / RECORD).read_bytes()


def _kept(place: Path) -> int:
    return sum(len(path.read_bytes().splitlines()) for path in (place / "cache").rglob("*.jsonl"))
