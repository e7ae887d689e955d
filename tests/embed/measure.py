"""Measures embedding against ``ffmpeg -c copy`` on a film of an hour: ``python -m tests.embed.measure``.

Prints the seconds of each in turn, by the clock and of the processor (other work on the machine slows the clock
alone), their medians, and the most memory that both held for the hour and for a part of it. It is no test: times
hang on the machine.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.embed.films import FFMPEG, make_film

TURNS = 5
EMBED = (
    "import sys; from pathlib import Path;"
    "from pipeline.embed import embed; from tests.publish.example import example_record;"
    "embed(Path(sys.argv[1]), example_record('d03'), Path(sys.argv[2]))"
)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        short, hour = Path(folder, "short.mp4"), Path(folder, "hour.mp4")
        part = make_film(Path(folder, "part.mp4"), seconds=20, size="1920x1080", rate="30", bits="6M")
        for film, times in ((short, 52), (hour, 179)):
            subprocess.run([*FFMPEG, "-stream_loop", str(times), "-i", part, "-c", "copy", film], check=True)
        for ending in (".mp4", ".mkv"):
            copy = Path(folder, f"copy{ending}")
            speeds = []
            for _ in range(TURNS):
                clock, processor, theirs = _run([*FFMPEG, "-i", hour, "-c", "copy", copy])
                copy.unlink()
                our_clock, our_processor, ours = _run([sys.executable, "-c", EMBED, hour, copy])
                copy.unlink()
                speeds.append((clock / our_clock, processor / our_processor))
                print(f"{ending}: ffmpeg {clock:.2f} s ({processor:.2f} s of processor),", end=" ")
                print(f"embed {our_clock:.2f} s ({our_processor:.2f} s)", flush=True)
            by_clock, by_processor = (statistics.median(each) for each in zip(*speeds, strict=True))
            print(f"{ending}: median {by_clock:.2f} of ffmpeg's speed, {by_processor:.2f} by the processor")
            _, _, less = _run([sys.executable, "-c", EMBED, short, copy])
            copy.unlink()
            print(f"{ending}: at most {ours} MiB for the hour ({theirs} MiB of ffmpeg), {less} MiB for {53 * 20} s")


def _run(command: list[str | Path]) -> tuple[float, float, int]:
    """Return the seconds that a command took by the clock and of the processor, and the most MiB it held."""
    begin = time.perf_counter()
    process = subprocess.Popen(command)
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise subprocess.CalledProcessError(process.returncode, command)
    return time.perf_counter() - begin, used.ru_utime + used.ru_stime, used.ru_maxrss // 1024


if __name__ == "__main__":
    main()
