"""counter-16x9.ass and counter-9x16.ass: the counter as SubStation Alpha, written by pysubs2.

Two events show at a time: the exercise with its side and round, for the whole set, and under it the count.
A count that was spoken is in a bold style, one placed by the clock in a regular one, so that they never look alike
and an editor can find or restyle them; the event's ``Name`` says so too. What does not add up stands in the
event's ``Effect`` field, which players do not show.

Both stay within the title-safe part of the picture: 5 per cent at every edge of a wide picture (EBU R 95 and
SMPTE ST 2046-1 have about that, from memory); of a tall one the lower quarter and a sixth at the right stay
free, where the pages that show such films put their buttons and texts (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from pipeline.model import Record
from pipeline.publish.counter import CounterState, counter_states
from pipeline.publish.webvtt_file import one_line

if TYPE_CHECKING:
    import pysubs2

HEADING, CALLED, PLACED = "Exercise", "Count called", "Count by the clock"
"""The names of the styles."""


@dataclass(frozen=True, slots=True)
class _Picture:
    """A picture's size, the room kept free at its edges and the heights of letters, all in its pixels."""

    width: int
    height: int
    left: int
    right: int
    bottom: int
    heading: int
    count: int


_WIDE = _Picture(1920, 1080, left=96, right=96, bottom=60, heading=44, count=96)
_TALL = _Picture(1080, 1920, left=80, right=180, bottom=500, heading=52, count=120)


def write_wide(record: Record) -> str:
    """Return the text of counter-16x9.ass."""
    return _write(record, _WIDE)


def write_tall(record: Record) -> str:
    """Return the text of counter-9x16.ass."""
    return _write(record, _TALL)


def _write(record: Record, picture: _Picture) -> str:
    import pysubs2

    file = pysubs2.SSAFile()
    file.info.update(
        {
            "Title": one_line(record.title or record.source.name),
            "PlayResX": str(picture.width),
            "PlayResY": str(picture.height),
            "WrapStyle": "0",
            "ScaledBorderAndShadow": "yes",
        }
    )
    lift = picture.bottom + round(picture.count * 1.2)
    file.styles = {
        HEADING: _style(picture, picture.heading, lift, bold=False),
        CALLED: _style(picture, picture.count, picture.bottom, bold=True),
        PLACED: _style(picture, picture.count, picture.bottom, bold=False),
    }
    states = counter_states(record)
    for _, group in groupby(states, key=lambda state: state.set):
        shown = list(group)
        file.events.append(_event(shown[0].start, shown[-1].end, HEADING, _heading(shown[0])))
        for one in shown:
            event = _event(one.start, one.end, CALLED if one.called else PLACED, one.text)
            event.name = "called" if one.called else "by the clock"
            event.effect = "; ".join(one.findings)
            file.events.append(event)
    text: str = file.to_string("ass", header_notice="The on-screen counter of a follow-along class")
    return text


def _style(picture: _Picture, size: int, bottom: int, *, bold: bool) -> pysubs2.SSAStyle:
    import pysubs2

    return pysubs2.SSAStyle(
        fontname="DejaVu Sans",
        fontsize=size,
        bold=bold,
        primarycolor=pysubs2.Color(255, 255, 255),
        outlinecolor=pysubs2.Color(0, 0, 0),
        outline=max(size / 20, 2),
        shadow=0,
        alignment=pysubs2.Alignment.BOTTOM_LEFT,
        marginl=picture.left,
        marginr=picture.right,
        marginv=bottom,
    )


def _event(start: float, end: float, style: str, text: str) -> pysubs2.SSAEvent:
    import pysubs2

    # Braces begin an override in this format, and a backslash may begin a line break.
    plain = one_line(text).replace("{", "(").replace("}", ")").replace("\\", "/")
    return pysubs2.SSAEvent(start=round(start * 1000), end=round(end * 1000), style=style, text=plain)


def _heading(state: CounterState) -> str:
    return f"{state.heading} ({state.details})" if state.details else state.heading
