"""What one count looks like: a dark panel near the lower left corner, the exercise, and the count in large.

A bar under the count is whole where the number was spoken, and broken where the clock placed it. The panel
keeps its width through a set, so that it does not jump from count to count.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from PIL import Image, ImageDraw, ImageFont

from pipeline.publish.counter import CounterState

Colour = tuple[int, int, int, int]
Font = ImageFont.FreeTypeFont | ImageFont.ImageFont

PANEL: Colour = (16, 20, 28, 214)
TEXT: Colour = (255, 255, 255, 255)
QUIET: Colour = (206, 212, 220, 255)
CLEAR: Colour = (*PANEL[:3], 0)
"""Red, green, blue, opacity. White on the panel keeps over 7 to 1 in contrast even before a white picture
(WCAG 2.2, 1.4.6 asks for that, worked out in the tests); what is clear has the panel's colour, so that its
edge has no bright fringe."""

EDGE = 0.05
"""Share of the picture kept free at every edge: title safe (EBU R 95, from memory)."""

TALL_BOTTOM, TALL_RIGHT = 0.26, 1 / 6
"""Shares of a tall picture kept free at its foot and at its right, for the texts and buttons that players put
there (common practice, no source)."""

# Sizes in shares of the shorter side of the picture, by judgement: to be read on a phone across a room.
HEADING, DETAILS, COUNT = 0.045, 0.036, 0.14
PAD, GAP, BAR, CORNER = 0.03, 0.014, 0.008, 0.02
DASHES = 6
"""How many pieces the bar of a count placed by the clock has."""


@dataclass(frozen=True, slots=True)
class _Measures:
    """The parts of a panel in pixels: its box, the tops of its rows, and the fonts."""

    box: tuple[int, int, int, int]
    pad: int
    heading_top: int
    details_top: int
    count_top: int
    bar_top: int
    bar: int


def draw(state: CounterState | None, size: tuple[int, int]) -> Image.Image:
    """Return the picture of a count (or a clear one) as RGBA, ``size`` being width and height in pixels."""
    image = Image.new("RGBA", size, CLEAR)
    if state is None:
        return image
    unit = min(size)
    heading_font = _font(round(HEADING * unit))
    details_font, count_font = _font(round(DETAILS * unit)), _font(round(COUNT * unit))
    right = TALL_RIGHT if size[1] > size[0] else EDGE
    room = round(size[0] * (1 - EDGE - right)) - 2 * round(PAD * unit)
    heading = _fitted(state.heading, heading_font, room)
    details = _fitted(state.details, details_font, room)
    width = max(_width(heading, heading_font), _width(details, details_font), _width(_widest(state), count_font))
    at = _measure(size, width, bool(details))
    pen = ImageDraw.Draw(image)
    pen.rounded_rectangle(at.box, round(CORNER * unit), fill=PANEL)
    left = at.box[0] + at.pad
    pen.text((left, at.heading_top), heading, TEXT, heading_font, anchor="lt")
    pen.text((left, at.details_top), details, QUIET, details_font, anchor="lt")
    pen.text((left, at.count_top), state.text, TEXT, count_font, anchor="lt")
    _draw_bar(pen, at, state.called)
    return image


def _measure(size: tuple[int, int], text_width: int, has_details: bool) -> _Measures:
    unit = min(size)
    pad, gap, bar = round(PAD * unit), round(GAP * unit), max(round(BAR * unit), 2)
    heading, details, count = (round(share * unit) for share in (HEADING, DETAILS, COUNT))
    height = 2 * pad + heading + gap + (details + gap) * has_details + count + 2 * gap + bar
    left = round(size[0] * EDGE)
    foot = round(size[1] * (1 - (TALL_BOTTOM if size[1] > size[0] else EDGE)))
    top = foot - height
    details_top = top + pad + heading + gap
    count_top = details_top + (details + gap) * has_details
    return _Measures(
        box=(left, top, left + text_width + 2 * pad, foot),
        pad=pad,
        heading_top=top + pad,
        details_top=details_top,
        count_top=count_top + gap,
        bar_top=foot - pad - bar,
        bar=bar,
    )


def _draw_bar(pen: ImageDraw.ImageDraw, at: _Measures, whole: bool) -> None:
    left, right = at.box[0] + at.pad, at.box[2] - at.pad
    if whole:
        pen.rectangle((left, at.bar_top, right, at.bar_top + at.bar), fill=TEXT)
        return
    step = (right - left) / (2 * DASHES - 1)
    for dash in range(DASHES):
        start = left + 2 * dash * step
        pen.rectangle((start, at.bar_top, start + step, at.bar_top + at.bar), fill=QUIET)


def _widest(state: CounterState) -> str:
    """Return a text as wide as any count of the same set."""
    last = max(state.work.performed or 0, state.n or 0, state.target or 0, *(rep.n for rep in state.work.reps), 0)
    digits = "0" * len(str(last))
    unit = " s" if state.work.unit == "seconds" else ""
    if state.n is None:
        return state.text
    if state.target is None:
        return digits + unit
    return f"{digits}{unit} left" if state.down else f"{digits} / {digits}{unit}"


@lru_cache(maxsize=16)
def _font(size: int) -> Font:
    # Pillow brings a plain sans face of its own, so the picture is the same on every machine.
    return ImageFont.load_default(size)


def _width(text: str, font: Font) -> int:
    return round(font.getlength(text))


def _fitted(text: str, font: Font, room: int) -> str:
    """Return text cut to a width, with an ellipsis where something is cut off."""
    if _width(text, font) <= room:
        return text
    while text and _width(text + "…", font) > room:
        text = text[:-1]
    return text.rstrip() + "…"
