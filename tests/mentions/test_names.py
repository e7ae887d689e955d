"""Names are found however they are written, and put together from stance, side, implement and base."""

from __future__ import annotations

from pathlib import Path

import pytest

import lexicon
from pipeline.mentions.names import NameIndex
from pipeline.mentions.tokens import fold, key_of, tokens_of

EXERCISES = """\
- {id: t-row, name: test row, pattern: pull horizontal, prime_movers: latissimus dorsi, equipment: [dumbbell],
   position: bent over, sides: no, unit: reps, seconds_low: 2, seconds_high: 4}
- {id: t-single-row, name: single-arm test row, other_names: [one-arm test row with a dumbbell],
   pattern: pull horizontal, prime_movers: latissimus dorsi, equipment: [dumbbell], position: bent over,
   sides: yes, unit: reps, seconds_low: 2, seconds_high: 4}
- {id: t-dipper, name: big dipper, pattern: core, prime_movers: obliques, equipment: none, position: standing,
   sides: no, unit: reps, seconds_low: 2, seconds_high: 4}
"""


@pytest.fixture(scope="module")
def index(tmp_path_factory: pytest.TempPathFactory) -> NameIndex:
    extra = tmp_path_factory.mktemp("lexicon") / "few.yaml"
    extra.write_text(EXERCISES, encoding="utf-8")
    return NameIndex(lexicon.load(Path(extra)))


def names_in(index: NameIndex, text: str) -> list[tuple[str, str | None]]:
    tokens = tokens_of(text.split())
    found = []
    for span in index.find(tokens):
        exercise = index.resolve(span)
        found.append((index.write(span), exercise.id if exercise else None))
    return found


@pytest.mark.parametrize(
    ("plural", "singular"),
    [
        ("squats", "squat"),
        ("lunges", "lunge"),
        ("presses", "press"),
        ("flies", "fly"),
        ("flyes", "fly"),
        ("crunches", "crunch"),
        ("calves", "calf"),
        ("press", "press"),
        ("abs", "abs"),
        ("plus", "plus"),
    ],
)
def test_plurals_are_folded(plural: str, singular: str) -> None:
    assert fold(plural) == singular


@pytest.mark.parametrize("written", ["push up", "push-up", "pushup", "Push-Ups", "push ups,", "PUSHUPS!"])
def test_all_ways_to_write_a_name_are_one_key(written: str) -> None:
    assert key_of(written) == "pushup"


def test_accents_and_possessives_make_no_difference() -> None:
    assert key_of("Pliés") == key_of("plie")
    assert key_of("farmer's carry") == key_of("farmer carry")


def test_a_token_knows_its_word_and_the_pause_after_it() -> None:
    tokens = tokens_of(["Split-stance", "row,", "ten."])
    assert [(one.text, one.word, one.pause) for one in tokens] == [
        ("split", 0, 0),
        ("stance", 0, 0),
        ("row", 1, 1),
        ("ten", 2, 2),
    ]


def test_the_longest_name_wins(index: NameIndex) -> None:
    assert names_in(index, "the single arm test row now") == [("Single-arm test row", "t-single-row")]


def test_a_modifier_before_the_base_is_part_of_the_name(index: NameIndex) -> None:
    assert names_in(index, "staggered stance big dippers") == [("Staggered-stance big dipper", "t-dipper")]


def test_a_modifier_after_a_comma_is_written_before_the_base(index: NameIndex) -> None:
    assert names_in(index, "Big dipper, split stance, right foot") == [("Split-stance big dipper", "t-dipper")]


def test_a_tempo_or_a_range_stays_after_the_base(index: NameIndex) -> None:
    assert names_in(index, "big dippers with a pause") == [("Big dipper with a pause", "t-dipper")]
    assert names_in(index, "big dipper pulses") == [("Big dipper pulse", "t-dipper")]


def test_two_spellings_of_a_modifier_mean_the_same_exercise(index: NameIndex) -> None:
    assert names_in(index, "a split stance one arm test row")[0][1] == "t-single-row"


def test_a_modifier_that_no_entry_lists_still_finds_the_exercise(index: NameIndex) -> None:
    assert names_in(index, "a banded test row") == [("Banded test row", "t-row")]


def test_a_name_does_not_cross_the_end_of_a_sentence(index: NameIndex) -> None:
    assert ("Big dipper", "t-dipper") not in names_in(index, "That was big. Dipper stars are up there.")


def test_an_option_after_the_name_is_no_part_of_it(index: NameIndex) -> None:
    assert names_in(index, "big dippers, on the knees or the toes") == [("Big dipper", "t-dipper")]


def test_an_instruction_to_hold_is_no_part_of_the_name(index: NameIndex) -> None:
    assert names_in(index, "big dipper hold it there")[0] == ("Big dipper", "t-dipper")


def test_the_other_names_carry_the_modifiers(index: NameIndex) -> None:
    tokens = tokens_of(["a", "split-stance", "single-arm", "test", "row"])
    span = index.find(tokens)[0]
    aliases = index.aliases(span, index.resolve(span))
    assert "single-arm test row" in aliases
    assert "split-stance single-arm test row" in aliases


def test_a_modifier_brings_its_equipment(index: NameIndex) -> None:
    tokens = tokens_of(["kettlebell", "big", "dipper"])
    span = index.find(tokens)[0]
    assert index.implied_equipment(span, index.resolve(span)) == ("kettlebell",)


def test_an_article_is_not_the_letter_of_a_name(index: NameIndex) -> None:
    assert all(name != "A-step" for name, _ in names_in(index, "more of a step stool"))
