"""The picture of a count is plain, stays in the safe part of the frame, and can be read before anything."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.model import Rep
from pipeline.overlay.picture import EDGE, PANEL, QUIET, TALL_BOTTOM, TALL_RIGHT, TEXT, draw
from pipeline.publish.counter import CounterState
from tests.publish.test_counter import work


def state(n: int = 7, called: bool = True, **fields: object) -> CounterState:
    one = replace(work(0, 60, target=12, exercise_name="goblet squat", performed=12), **fields)
    return CounterState(0, 3, 0, replace(one, reps=(Rep(n, 1, called),)), n, called, False, ())


@pytest.mark.parametrize("size", [(1280, 720), (720, 1280), (1080, 1080), (320, 180)])
def test_nothing_is_drawn_in_the_edges(size: tuple[int, int]) -> None:
    long = "alternating half-kneeling single-arm dumbbell overhead press with a pause and a long story behind it"
    box = draw(state(exercise_name=long, side="left", round=2), size).getchannel("A").getbbox()
    assert box is not None
    width, height = size
    foot, right = (TALL_BOTTOM, TALL_RIGHT) if height > width else (EDGE, EDGE)
    assert box[0] >= int(width * EDGE)
    assert box[1] >= int(height * EDGE)
    assert box[2] <= width * (1 - right) + 2
    assert box[3] <= height * (1 - foot) + 2


def test_between_sets_the_picture_is_clear() -> None:
    assert draw(None, (640, 360)).getchannel("A").getextrema() == (0, 0)


def test_the_panel_keeps_its_width_through_a_set() -> None:
    boxes = {draw(state(n), (1280, 720)).getchannel("A").getbbox() for n in range(13)}
    assert len(boxes) == 1


def test_a_called_count_and_one_by_the_clock_look_different() -> None:
    assert draw(state(called=True), (640, 360)).tobytes() != draw(state(called=False), (640, 360)).tobytes()


@pytest.mark.parametrize("colour", [TEXT, QUIET])
@pytest.mark.parametrize("behind", [0, 255])
def test_the_text_is_legible_before_black_and_before_white(colour: tuple[int, int, int, int], behind: int) -> None:
    """W3C WCAG 2.2, 1.4.6 Contrast (Enhanced): 7 to 1; the formulas are those of its glossary."""
    share = PANEL[3] / 255
    panel = [value * share + behind * (1 - share) for value in PANEL[:3]]
    assert (luminance(list(colour[:3])) + 0.05) / (luminance(panel) + 0.05) >= 7


def luminance(colour: list[float] | list[int]) -> float:
    """WCAG 2.2, "relative luminance" of an sRGB colour."""
    linear = [v / 255 / 12.92 if v / 255 <= 0.04045 else ((v / 255 + 0.055) / 1.055) ** 2.4 for v in colour]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
