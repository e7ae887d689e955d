"""Measures embedding against ``ffmpeg -c copy`` on a film of an hour: ``python -m tests.embed.measure``.

Prints the seconds of each in turn, by the clock and of the processor (other work on the machine slows the clock
alone), and the most memory that embedding held for the hour and for a part of it. It is no test: times hang on
the machine.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.embed.films import FFMPEG, make_film

TURNS = 3
EMBED = (
    "import resource, sys; from pathlib import Path;"
    "from pipeline.embed import embed; from tests.publish.example import example_record;"
    "embed(Path(sys.argv[1]), example_record('d03'), Path(sys.argv[2]));"
    "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)"
)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        short, hour = Path(folder, "short.mp4"), Path(folder, "hour.mp4")
        part = make_film(Path(folder, "part.mp4"), seconds=20, size="1920x1080", rate="30", bits="6M")
        for film, times in ((short, 52), (hour, 179)):
            subprocess.run([*FFMPEG, "-stream_loop", str(times), "-i", part, "-c", "copy", film], check=True)
        for ending in (".mp4", ".mkv"):
            copy = Path(folder, f"copy{ending}")
            for _ in range(TURNS):
                clock, processor, _ = _run([*FFMPEG, "-i", hour, "-c", "copy", copy])
                copy.unlink()
                our_clock, our_processor, memory = _run([sys.executable, "-c", EMBED, hour, copy])
                copy.unlink()
                print(
                    f"{ending}: ffmpeg {clock:.2f} s ({processor:.2f} s of processor), embed {our_clock:.2f} s", end=" "
                )
                print(
                    f"({our_processor:.2f} s): {clock / our_clock:.2f} ({processor / our_processor:.2f}) of its speed"
                )
            _, _, less = _run([sys.executable, "-c", EMBED, short, copy])
            copy.unlink()
            print(f"{ending}: at most {memory.strip()} MiB for the hour, {less.strip()} MiB for {53 * 20} s")


def _run(command: list[str | Path]) -> tuple[float, float, str]:
    """Return the seconds that a command took by the clock and of the processor, and what it printed."""
    begin, before = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    processor = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return time.perf_counter() - begin, processor, done.stdout


if __name__ == "__main__":
    main()
