"""Measures embedding against ``ffmpeg -c copy`` on a film of an hour: ``python -m tests.embed.measure``.

Prints the seconds of each in turn, by the clock and of the processor (other work on the machine slows the clock
alone), their medians, and the most memory that both held for 18 minutes, an hour and two, from and to each container.
It is no test: times hang on the machine.
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
MINUTES = (18, 60, 120)
ENDINGS = (".mp4", ".mkv")
EMBED = (
    "import sys; from pathlib import Path;"
    "from pipeline.embed import embed; from tests.publish.example import example_record;"
    "embed(Path(sys.argv[1]), example_record('d03'), Path(sys.argv[2]))"
)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        take = make_film(Path(folder, "take.mp4"), seconds=20, size="1920x1080", rate="30", bits="6M")
        hour = _film(take, Path(folder, "hour.mp4"), 3600)
        for ending in ENDINGS:
            speeds = []
            for _ in range(TURNS):
                theirs, ours = _both(hour, Path(folder, f"copy{ending}"))
                speeds.append((theirs[0] / ours[0], theirs[1] / ours[1]))
                print(f"{ending}: ffmpeg {theirs[0]:.2f} s ({theirs[1]:.2f} s of processor),", end=" ")
                print(f"embed {ours[0]:.2f} s ({ours[1]:.2f} s)", flush=True)
            by_clock, by_processor = (statistics.median(each) for each in zip(*speeds, strict=True))
            print(f"{ending}: median {by_clock:.2f} of ffmpeg's speed, {by_processor:.2f} by the processor")
        hour.unlink()
        for of in ENDINGS:
            for minutes in MINUTES:
                film = _film(take, Path(folder, f"film{of}"), minutes * 60)
                for ending in ENDINGS:
                    theirs, ours = _both(film, Path(folder, f"copy{ending}"))
                    print(f"{of} to {ending}, {minutes} minutes: at most {ours[2]} MiB", end=" ")
                    print(f"({theirs[2]} MiB of ffmpeg)", flush=True)
                film.unlink()


def _film(take: Path, path: Path, seconds: int) -> Path:
    """Make a film of a take of 20 seconds over and over."""
    subprocess.run([*FFMPEG, "-stream_loop", str(seconds // 20 - 1), "-i", take, "-c", "copy", path], check=True)
    return path


def _both(film: Path, copy: Path) -> tuple[tuple[float, float, int], tuple[float, float, int]]:
    """Copy a film with FFmpeg's program, then with ours, and return what each took."""
    taken: list[tuple[float, float, int]] = []
    commands: tuple[list[str | Path], ...] = (
        [*FFMPEG, "-i", film, "-c", "copy", copy],
        [sys.executable, "-c", EMBED, film, copy],
    )
    for command in commands:
        taken.append(_run(command))
        copy.unlink()
    return taken[0], taken[1]


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
