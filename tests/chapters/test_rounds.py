"""Rounds: which return to an exercise is a further round, and which only its other side."""

from __future__ import annotations

from dataclasses import replace

from pipeline.chapter_names import UNNAMED, Naming, Opening
from pipeline.chapters import number_rounds
from pipeline.counting.draft import Draft
from pipeline.model import Side

Done = tuple[str, tuple[Side | None, ...]]


def rounds(*done: Done) -> list[tuple[int | None, int | None]]:
    """Number the rounds of chapters, each an exercise and the sides of its sets: (round, of how many)."""
    openings = [Opening(c, c + 1, "exercise", 1.0) for c in range(len(done))]
    namings = [Naming(None, name, (), 1.0) for name, _ in done]
    one = Draft((0, 1), (0, 0), 0.0, 1.0, 0, ())
    drafts = [replace(one, chapter=c, side=side) for c, (_, sides) in enumerate(done) for side in sides]
    found = number_rounds(openings, namings, drafts)
    return list(zip(found.of_chapter, found.total, strict=True))


def test_left_and_then_right_are_one_round() -> None:
    assert rounds(("Row", ("left",)), ("Row", ("right",))) == [(None, None), (None, None)]


def test_both_sides_once_more_are_a_second_round() -> None:
    left: Done = ("Row", ("left",))
    right: Done = ("Row", ("right",))
    assert rounds(left, right, ("Squat", (None,)), left, right) == [(1, 2), (1, 2), (None, None), (2, 2), (2, 2)]


def test_a_return_to_both_sides_is_a_second_round() -> None:
    assert rounds(("Row", ("left", "right")), ("Row", ("left", "right"))) == [(1, 2), (2, 2)]


def test_a_return_on_no_side_is_a_second_round() -> None:
    assert rounds(("Squat", (None,)), ("Squat", (None,))) == [(1, 2), (2, 2)]


def test_a_chapter_without_a_name_has_no_round() -> None:
    assert rounds((UNNAMED, (None,)), (UNNAMED, (None,))) == [(None, None), (None, None)]


def test_a_rest_has_no_round() -> None:
    rest = Opening(0, 1, "rest", 1.0)
    assert number_rounds([rest], [Naming(None, "", (), 1.0)], ()).of_chapter == [None]
