"""Count-ins: numbers called so that all start together; they are no reps, and the set starts after them."""

from __future__ import annotations

import pytest

from pipeline.counting.count_ins import open_with_count_ins
from tests.building import reading


def opened(text: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    one = reading(text)
    return open_with_count_ins(one.mentions, one.roles, one.phases)


def test_a_countdown_before_go_is_a_count_in() -> None:
    roles, phases = opened("""
        0.0   setup | Hands down.
        3.0   begin | {clock}Three, {clock}two, {clock}one.
        5.0   work  | Go.
        9.0   work  | {rep}One.
    """)
    assert roles == ("countin",) * 3 + ("rep",)
    assert phases == ("setup", "setup", "begin", "work")


@pytest.mark.parametrize("read_as", ["rep", "hold", "clock"])
def test_the_last_beats_of_a_bar_before_the_first_rep_are_a_count_in(read_as: str) -> None:
    """Counted in to music on "five, six, seven, eight": common practice, no source."""
    beats = ", ".join(f"{{{read_as}}}{word}" for word in "five six seven eight".split())
    roles, phases = opened(f"""
        0.0   setup | {{target}}Sixteen lifts.
        4.0   begin | And {beats},
        7.0   work  | {{rep}}one, {{rep}}two.
    """)
    assert roles == ("target", *["countin"] * 4, "rep", "rep")
    assert phases == ("setup", "setup", "begin")


def test_the_last_beats_of_a_bar_that_was_counted_are_reps() -> None:
    counted = """
        4.0   begin | {rep}One, {rep}two, {rep}three, {rep}four,
        8.0   work  | {rep}five, {rep}six, {rep}seven, {rep}eight,
        12.0  work  | {rep}one, {rep}two.
    """
    assert opened(counted)[0] == ("rep",) * 10


def test_eights_that_count_on_are_no_count_in() -> None:
    sparse = "4.0 begin | {rep}Six, {rep}seven, {rep}eight.\n9.0 work | {rep}Nine.\n11.0 work | {rep}Ten."
    assert opened(sparse)[0] == ("rep",) * 5
