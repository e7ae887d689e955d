"""Which sentences of a class offer an easier or a harder way."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.model import Cue, Piece, Word
from pipeline.publish.offered_options import offered_options
from tests.publish.example import example_record


@pytest.mark.parametrize(
    ("said", "ways"),
    [
        ("Easier version, knees down, same count.", ("easier",)),
        ("Toes if you can, knees if you'd rather.", ("easier",)),
        ("Small is fine.", ("easier",)),
        ("If you want more, reach the top arm up.", ("harder",)),
        ("Easier, keep it small, harder, put one foot on the other knee.", ("easier", "harder")),
        ("If the wrists complain, use your fists instead.", ("easier",)),
        ("You can nearly smell the toast.", ()),
        ("I've moved so you can see me better. You're welcome.", ()),
        ("Drink if you need it, we've got forty seconds.", ()),
        ("And knees down, lovely work.", ()),
        ("Next time there will be lunges, and twenty minutes instead of ten.", ()),
        ("You'll want a bell you can press overhead, so no higher than that.", ()),
    ],
)
def test_an_option_goes_one_way_or_the_other(said: str, ways: tuple[str, ...]) -> None:
    record = replace(example_record("d01"), words=(), pieces=(), cues=(Cue(9.0, 12.0, "option", said, (0, 0)),))
    assert [one.ways for one in offered_options(record)] == ([ways] if ways else [])


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        ("That's four, halfway. Walk it if you need to.", "Walk it if you need to."),
        ("1. Step it if you prefer.", "Step it if you prefer."),
        ("Easier. Keep the heel down.", "Easier. Keep the heel down."),
    ],
)
def test_the_count_before_an_option_is_not_shown(said: str, shown: str) -> None:
    record = replace(example_record("d01"), words=(), pieces=(), cues=(Cue(9.0, 12.0, "option", said, (0, 0)),))
    assert [one.text for one in offered_options(record)] == [shown]


def options_in(said: str) -> list[tuple[str, tuple[str, ...]]]:
    """The options of a class of these words, in which nothing was taken for a cue."""
    words = tuple(Word(text, i, i + 0.5) for i, text in enumerate(said.split()))
    pieces = (Piece(0, len(words), 0.0, float(len(words))),)
    record = replace(example_record("d01"), words=words, pieces=pieces, cues=())
    return [(one.text, one.ways) for one in offered_options(record)]


@pytest.mark.parametrize(
    "said",
    [
        "If your legs are tired, use your hands on the seat.",
        "No jumping for you? Step out to the side.",
        "Beginners, stay with the deadlift here.",
        "Leave your feet down if your back arches.",
        "Walk the feet in instead of running.",
        "You can do this one without the step.",
        "Or keep the bottom knee on the ground.",
        "Shallower is absolutely fine.",
        "You're welcome to skip the jump.",
    ],
)
def test_a_sentence_that_names_an_easier_way_is_an_option_with_or_without_a_cue(said: str) -> None:
    assert options_in(f"Here we go. {said} And nine.") == [(said, ("easier",))]


@pytest.mark.parametrize(
    "said",
    [
        "To make it tougher, take a narrower grip.",
        "Want a challenge? Lift one foot.",
        "Feeling strong? Try it on one leg.",
        "Advanced option, hover the back knee.",
        "Add a jump if you've got the energy.",
        "Straighten the legs for a bit extra.",
        "If twelve feels easy, go slower.",
    ],
)
def test_a_sentence_that_names_a_harder_way_is_an_option_with_or_without_a_cue(said: str) -> None:
    assert options_in(f"Here we go. {said} And nine.") == [(said, ("harder",))]


@pytest.mark.parametrize(
    "said",
    [
        "If a joint is sore tomorrow, ask somebody qualified.",
        "If you wobble, that's the exercise working.",
        "There's no jumping today, and no press-ups.",
        "Lower one foot, tap the toes.",
        "Tonight we go heavier than last week.",
        "You're always ready for more.",
        "If you lose count, so do I.",
        "Keep your knees over your toes.",
        "Rest your hands on your knees and breathe.",
    ],
)
def test_advice_and_talk_are_no_options(said: str) -> None:
    assert options_in(said) == []
