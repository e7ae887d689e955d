"""Measures embedding against ``ffmpeg -c copy`` on a film of an hour: ``python -m tests.embed.measure``.

Prints the seconds of each in turn, and the most memory that embedding held for the hour and a part of it.
It is no test: times hang on the machine.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.embed.films import FFMPEG, make_film

TURNS = 3
MEMORY = (
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
            for _ in range(TURNS):
                plain = _seconds([*FFMPEG, "-i", hour, "-c", "copy", Path(folder, f"plain{ending}")])
                ours, memory = _embed(hour, Path(folder, f"ours{ending}"))
                print(f"{ending}: ffmpeg {plain:.2f} s, embed {ours:.2f} s, {plain / ours:.2f} of its speed")
            _, less = _embed(short, Path(folder, f"ours-short{ending}"))
            print(f"{ending}: at most {memory} MiB for the hour, {less} MiB for {53 * 20} s")


def _seconds(command: list[str | Path]) -> float:
    begin = time.perf_counter()
    subprocess.run(command, check=True)
    return time.perf_counter() - begin


def _embed(film: Path, output: Path) -> tuple[float, int]:
    begin = time.perf_counter()
    done = subprocess.run([sys.executable, "-c", MEMORY, film, output], check=True, capture_output=True, text=True)
    return time.perf_counter() - begin, int(done.stdout)


if __name__ == "__main__":
    main()
