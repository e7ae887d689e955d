"""Written times: ``1:02:03.4``, ``62:03``, ``3.4``, with a point or a comma before the fraction."""

from __future__ import annotations

import re

from pipeline.transcripts.base import usable_time

CLOCK = re.compile(r"(?:(?:(?P<h>\d{1,4}):)?(?P<m>\d{1,4}):)?(?P<s>\d{1,9})(?:[.,](?P<fraction>\d{1,9})\d*)?", re.ASCII)


def parse_clock(text: str) -> float | None:
    """Return the seconds that a written time stands for, or ``None`` where it is none.

    >>> parse_clock("1:02:03.5"), parse_clock("62:03"), parse_clock("3,25"), parse_clock("1:75")
    (3723.5, 3723.0, 3.25, None)
    """
    match = CLOCK.fullmatch(text.strip())
    if not match:
        return None
    hours, minutes, seconds = (int(match[key] or 0) for key in "hms")
    if (match["m"] and seconds > 59) or (match["h"] and minutes > 59):
        return None
    total = hours * 3600 + minutes * 60 + seconds + float(f"0.{match['fraction'] or 0}")
    return total if usable_time(total) else None
