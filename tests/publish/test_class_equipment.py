"""Which tools a class needs, by what is said of them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.model import Record, Word
from pipeline.publish.class_equipment import class_equipment
from tests.publish.example import example_record


def class_with(*tools: str, said: str, name: str = "split squat") -> Record:
    """A class of one exercise that can be done with these tools, and of these words."""
    record = example_record("d01")
    words = tuple(Word(text, i, i + 0.5) for i, text in enumerate(said.split()))
    chapter = replace(record.chapters[1], exercise_name=name, aliases=(), equipment=tools, words=(0, 0))
    return replace(record, chapters=(chapter,), sets=(), numbers=(), findings=(), cues=(), words=words)


@pytest.mark.parametrize(
    ("tool", "said"),
    [
        ("chair", "You'll want a sturdy chair with no wheels."),
        ("dumbbell", "It's all done with two light dumbbells today."),
        ("mat", "For this you need water, a towel, and a mat."),
        ("bench", "Hands on the bench. Now step back. Elbows on the bench."),
        ("pull-up bar", "Walk over and take hold of the bar."),
        ("step", "Put one foot on the bottom step."),
        ("kettlebell", "So this is a swing with one kettlebell."),
    ],
)
def test_what_was_asked_for_or_taken_up_is_equipment(tool: str, said: str) -> None:
    assert class_equipment(class_with(tool, "barbell", said=said)) == [tool]


@pytest.mark.parametrize(
    ("tool", "said"),
    [
        ("wall", "The clock's on the wall."),
        ("step", "You're welcome, so step out. Now take two steps left."),
        ("ball", "Come up on the balls of your feet. On the balls of your feet."),
        ("kettlebell", "Nothing is said of it."),
        ("none", "None of that today."),
    ],
)
def test_what_only_sounds_like_equipment_is_none(tool: str, said: str) -> None:
    assert class_equipment(class_with(tool, said=said)) == []


def test_an_exercise_named_for_a_tool_does_not_ask_for_it() -> None:
    said = "Hold it there, the step touch is next. Use the step touch to breathe."
    assert class_equipment(class_with("step", said=said, name="step touch")) == []
    assert class_equipment(class_with("step", said=said, name="calf raise")) == ["step"]


@pytest.mark.parametrize(
    ("tool", "said"),
    [
        ("ball", "Arms round, like you're holding a beach ball up the middle."),
        ("wall", "Imagine you've got the wall at your back."),
    ],
)
def test_a_figure_of_speech_is_no_equipment(tool: str, said: str) -> None:
    assert class_equipment(class_with(tool, said=said)) == []


def test_what_a_hand_is_laid_on_is_used() -> None:
    assert class_equipment(class_with("wall", said="One at a time, fingertips on a wall.")) == ["wall"]


def test_a_tool_in_an_exercises_name_is_used_and_one_that_it_cannot_be_done_with_is_not() -> None:
    assert class_equipment(class_with("kettlebell", "band", said="Go.", name="kettlebell swing")) == ["kettlebell"]
    assert class_equipment(class_with("none", said="Go.", name="chair pose")) == []


def test_a_bar_is_a_barbell_once_a_barbell_was_spoken_of() -> None:
    said = "Barbell day. Load up the bar."
    assert class_equipment(class_with("barbell", "dumbbell", said=said)) == ["barbell"]


def test_what_no_exercise_is_done_with_counts_where_it_is_asked_for_before_the_first_set() -> None:
    early = class_with("mat", said="You'll need a mat and maybe a cushion. Pelvic tilts.")
    one = replace(example_record("d01").sets[0], chapter=0, start=9.0, end=20.0, reps=())
    assert class_equipment(replace(early, sets=(one,)), ("cushion", "ball")) == ["mat", "cushion"]
    late = class_with("mat", said="Eight of them here. Next week bring a mat and a cushion.")
    assert class_equipment(replace(late, sets=(replace(one, start=0.5),)), ("cushion",)) == ["mat"]
