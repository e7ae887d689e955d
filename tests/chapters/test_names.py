"""Names over a whole class: short names of what was done before, and chapters in which nothing is named."""

from __future__ import annotations

from pipeline.analyze import listener
from pipeline.chapter_names.naming import is_shorter
from tests.mentions.test_chapter_names import name

SUITCASE = ("First up, the suitcase deadlift.", "Hips back, a bell outside each leg.")
ROW = ("Next, the bent-over row.", "Flat back, elbows past the ribs.")


def names(*chapters: tuple[str, ...]) -> list[str]:
    return [one.name for one in name(listener(None), *chapters)]


def test_a_short_name_means_what_was_done_under_the_full_one() -> None:
    assert names(SUITCASE, ROW, ("Round two, deadlifts.", "Seven of them.")) == [
        "Suitcase deadlift",
        "Bent-over row",
        "Suitcase deadlift",
    ]


def test_a_plainer_exercise_straight_after_is_another_one() -> None:
    assert names(("First, the Romanian deadlift.",), ("Next up, the deadlift, feet hip-width apart.",)) == [
        "Romanian deadlift",
        "Deadlift",
    ]


def test_the_plain_exercise_keeps_its_own_name_where_both_are_done() -> None:
    plain = ("Next up, the deadlift, feet hip-width apart.",)
    assert names(SUITCASE, plain, ROW, ("Round two, the deadlift.",))[-1] == "Deadlift"


def test_where_nothing_is_named_the_class_goes_on_with_what_it_did() -> None:
    assert names(ROW, ("And once you've got your breath.",)) == ["Bent-over row", "Bent-over row"]


def test_where_nothing_was_ever_named_there_is_no_name() -> None:
    assert names(("And once you've got your breath.",)) == ["Exercise"]


def test_the_end_of_a_name_is_shorter_than_it() -> None:
    assert is_shorter("deadlifts", "Romanian deadlift")
    assert not is_shorter("Romanian", "Romanian deadlift")
    assert not is_shorter("deadlift", "deadlift")
