"""The counter as a transparent video to lay over the class: VP9 with alpha in WebM.

``render`` writes it frame by frame in flat memory; ``picture`` draws what one count looks like, ``spans``
says which frames show it, ``video`` encodes. A picture that does not change is neither drawn nor encoded
anew.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

from pipeline.model import InputError, Record
from pipeline.whole_file import written_whole

SIZE = (1280, 720)
"""Width and height of the video in pixels, unless others are asked for."""

RATE = Fraction(30)
"""Frames a second, unless another rate is asked for."""

LEAST_SIDE, MOST_SIDE = 128, 4096
"""Pixels of a side: under the first no text can be read, over the second no common player shows VP9."""

LEAST_RATE, MOST_RATE = 1, 120
"""Frames a second that are a video's (common practice)."""

Progress = Callable[[int, int], None]
"""Is told how many frames are done, and of how many."""


def render(
    record: Record,
    path: Path,
    size: tuple[int, int] = SIZE,
    rate: Fraction = RATE,
    progress: Progress | None = None,
) -> None:
    """Write the counter of a record as a transparent video as long as the class.

    ``size`` is width and height in pixels, ``rate`` frames a second. The file is put in place when it is
    whole. Raises :class:`~pipeline.model.InputError` where the size or the rate makes no video, or the file
    cannot be written.
    """
    from pipeline.overlay.spans import frame_count, spans
    from pipeline.overlay.video import write_video

    check_size(size)
    check_rate(rate)
    total = frame_count(record, rate)
    with written_whole(Path(path), "a file in a folder that can be written to") as staging:
        write_video(staging, spans(record, rate), size, rate, lambda done: progress and progress(done, total))


def check_size(size: tuple[int, int]) -> None:
    """Raise :class:`~pipeline.model.InputError` where no video can have this width and height."""
    # Colours are kept for every second pixel each way (4:2:0).
    if any(side % 2 or not LEAST_SIDE <= side <= MOST_SIDE for side in size):
        problem = f"{size[0]}x{size[1]} is no size for an overlay"
        raise InputError("size", None, problem, f"even numbers from {LEAST_SIDE} to {MOST_SIDE}, as 1280x720")


def check_rate(rate: Fraction) -> None:
    """Raise :class:`~pipeline.model.InputError` where no video can have this many frames a second."""
    if not LEAST_RATE <= rate <= MOST_RATE:
        remedy = f"{LEAST_RATE} to {MOST_RATE} frames a second, as 30, 29.97 or 30000/1001"
        raise InputError("rate", None, f"{float(rate):g} is no rate for an overlay", remedy)
