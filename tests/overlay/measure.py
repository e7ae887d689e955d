"""Measures the overlay: ``python -m tests.overlay.measure``.

The first class, cut or stretched to 15 minutes, at 1280x720 and 30 frames a second: how long it takes, how much of
the processor, how much memory. Then each development class at both shapes of picture: the number that an OCR
library reads at random times (the seed is fixed) against the number due.
"""

from __future__ import annotations

import random
import re
import resource
import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from rapidocr import RapidOCR

from pipeline.overlay import render
from pipeline.publish.counter import CounterState, counter_states
from tests.overlay.test_video import count_row, decoded
from tests.publish.records import DEVELOPMENT, record_of

RATE = Fraction(30)
QUARTER_HOUR = 900.0
SHAPES = ((1280, 720), (720, 1280))
TIMES = 10
"""Random times a class and shape; twelve classes of both shapes are 240."""


def main() -> None:
    """Print the figures, and each number that is read as another."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "counter.webm")
        record = record_of("d01 captions")
        record = replace(record, source=replace(record.source, duration=QUARTER_HOUR))
        began, processor = time.perf_counter(), time.process_time()
        render(record, path, (1280, 720), RATE)
        print(f"15 minutes: {time.perf_counter() - began:.1f} s, {time.process_time() - processor:.1f} s of processor")
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"the whole process at most {peak:.0f} MB, the file {path.stat().st_size / 1e6:.1f} MB")
        read = list(_numbers_read(path))
    right = sum(wanted == seen for _, wanted, seen in read)
    for place, wanted, seen in read:
        if wanted != seen:
            print(f"{place}: due {wanted}, read {seen}")
    print(f"numbers read as due: {right} of {len(read)}")


def _numbers_read(path: Path) -> Iterator[tuple[str, list[str], list[str]]]:
    """Yield where, what is due there, and what is read."""
    reader = RapidOCR(params={"Global.log_level": "error"})
    for name in DEVELOPMENT:
        record = record_of(f"{name} captions")
        states = [one for one in counter_states(record) if one.end - one.start > 0.2]
        for size in SHAPES:
            render(record, path, size, RATE)
            chance = random.Random(f"{name} {size}")
            for due in chance.sample(states, TIMES):
                at = chance.uniform(due.start + 0.05, due.end - 0.05)
                texts = reader(count_row(decoded(path, at, size)), use_det=False, use_cls=False).txts
                yield f"{name} {size[0]}x{size[1]} {at:.2f}", _numbers(due), _figures(texts[0] if texts else "")


def _numbers(state: CounterState) -> list[str]:
    return _figures(state.text)


def _figures(text: str) -> list[str]:
    return re.findall(r"\d+|left", text)


if __name__ == "__main__":
    main()
