"""``repslate overlay``: the counter of a kept record as a transparent video."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

from pipeline.model import InputError

_SIZE_WANTED = "width and height in pixels, as 1280x720"
_RATE_WANTED = "frames a second, as 30, 29.97 or 30000/1001"


def render_overlay(
    source: str, output: Path, size: str, rate: str, progress: Callable[[int, int], None] | None
) -> None:
    """Write the overlay of a record.json; ``size`` and ``rate`` are as written on the command line.

    Raises :class:`~pipeline.model.InputError`.
    """
    from pipeline.commands.records import read_record
    from pipeline.overlay import check_rate, check_size, render

    pixels, frames = read_size(size), read_rate(rate)
    check_size(pixels)
    check_rate(frames)
    render(read_record(source), output, pixels, frames, progress)


def read_size(text: str) -> tuple[int, int]:
    """Return width and height from a text such as ``1280x720``."""
    found = re.fullmatch(r"(\d{1,5})[xX×](\d{1,5})", text.strip())
    if not found:
        raise InputError("--size", None, f"{text!r} is no size", _SIZE_WANTED)
    return int(found[1]), int(found[2])


def read_rate(text: str) -> Fraction:
    """Return frames a second from a text such as ``30``, ``29.97`` (as editors round it) or ``30000/1001``."""
    from pipeline.publish.timeline_rates import RATES

    try:
        return RATES[text].exact if text in RATES else Fraction(text)
    except (ValueError, ZeroDivisionError) as error:
        raise InputError("--rate", None, f"{text!r} is no rate", _RATE_WANTED) from error
