"""Left against right, round against round, and rounds that never came (``tests/bench/FORMAT.md``)."""

from __future__ import annotations

from dataclasses import replace

from pipeline.model import Chapter, Number, WorkSet
from tests.building import chapter, counted, findings, kinds, said


def reps(done: int, **changes: object) -> WorkSet:
    work, _ = counted(*[(n, 3.0 * n) for n in range(1, done + 1)], **changes)  # type: ignore[arg-type]
    return work


def test_one_rep_fewer_on_the_second_side_is_an_imbalance() -> None:
    (found,) = findings([reps(8, side="left"), reps(7, side="right")])
    assert (found.kind, found.set) == ("side-imbalance", 1)
    assert (found.said, found.expected) == ("8 on the left", "7 on the right")


def test_as_many_on_both_sides_is_none() -> None:
    assert findings([reps(8, side="left"), reps(8, side="right")]) == []


def test_sets_without_a_side_are_not_compared_by_side() -> None:
    assert findings([reps(8), reps(7)]) == []


def test_two_sets_of_one_side_are_not_compared() -> None:
    """A drop set: ten and then six on the left, ten and six on the right."""
    sides = [reps(n, side=side, range=part) for side in ("left", "right") for n, part in ((10, "full"), (6, "pulse"))]
    assert findings(sides) == []


def test_a_side_that_nobody_could_count_is_no_imbalance() -> None:
    assert findings([reps(8, side="left"), reps(7, side="right", performed=None)]) == []


def test_sides_in_two_chapters_are_not_compared() -> None:
    rows = (chapter(0, 100, "single-arm row"), chapter(100, 200, "single-arm press"))
    assert findings([reps(8, side="left"), reps(7, side="right", chapter=1)], chapters=rows) == []


ROUNDS = (chapter(0, 100, number=1), chapter(100, 200, "push-up"), chapter(200, 300, number=2))


def test_a_later_round_that_differs_unannounced_is_a_mismatch() -> None:
    (found,) = findings([reps(10), reps(8, chapter=2)], chapters=ROUNDS)
    assert (found.kind, found.set) == ("round-mismatch", 1)
    assert (found.said, found.expected) == ("10 the round before", "8 this round")


def test_a_later_round_that_is_announced_to_differ_is_none() -> None:
    assert findings([reps(10, target=10), reps(8, target=8, chapter=2)], chapters=ROUNDS) == []


def test_a_later_round_of_the_same_number_is_none() -> None:
    assert findings([reps(10), reps(10, chapter=2)], chapters=ROUNDS) == []


def test_another_exercise_is_no_later_round() -> None:
    assert findings([reps(10), reps(8, chapter=1, exercise_name="push-up")], chapters=ROUNDS) == []


def test_the_sides_of_a_round_are_each_held_against_their_own() -> None:
    before = [reps(10, side="left"), reps(10, side="right")]
    same = [reps(10, side="left", chapter=2), reps(10, side="right", chapter=2)]
    fewer = [reps(8, side="left", chapter=2), reps(8, side="right", chapter=2)]
    assert findings(before + same, chapters=ROUNDS) == []
    assert kinds(findings(before + fewer, chapters=ROUNDS)) == ["round-mismatch", "round-mismatch"]


def announced(n: float, text: str, role_n: float | None = None) -> tuple[list[Number], str]:
    """Say rounds in the first chapter; returns the number and the words around it."""
    tokens = text.split()
    word = next(k for k, token in enumerate(tokens) if token in {"two", "three", "second"})
    return [said(5.0, "rounds", n, tokens[word], set=None, word=word)], text


def rounds_found(chapters: tuple[Chapter, ...], text: str, n: int) -> list[str]:
    numbers, words = announced(n, text)
    sets = [reps(10, chapter=c, exercise_name=one.exercise_name) for c, one in enumerate(chapters)]
    return kinds(findings(sets, numbers, chapters, words=words))


def test_three_rounds_announced_and_two_done_are_missing_one() -> None:
    assert rounds_found(ROUNDS, "we do three rounds of this", 3) == ["rounds-missing"]


def test_as_many_rounds_as_announced_are_missing_none() -> None:
    assert rounds_found(ROUNDS, "we do two rounds of this", 2) == []


def test_one_round_of_many_announced_was_said_of_something_else() -> None:
    assert rounds_found(ROUNDS[:1], "we do three rounds of this", 3) == []
    assert rounds_found(ROUNDS[:1], "we do two rounds of this", 2) == ["rounds-missing"]


def test_the_name_of_a_round_announces_none() -> None:
    assert rounds_found(ROUNDS, "this is round three of it", 3) == []


def test_rounds_to_go_are_not_rounds_in_all() -> None:
    assert rounds_found(ROUNDS, "that leaves three to go now", 3) == []


def test_a_plan_in_the_welcome_is_not_held_against_one_exercise() -> None:
    rows = (chapter(0, 100, "", kind="intro"), chapter(100, 200), chapter(200, 300, "push-up"))
    numbers, words = announced(3, "everything comes three times today")
    sets = [reps(10, chapter=1), reps(10, chapter=2, exercise_name="push-up")]
    assert findings(sets, numbers, rows, words=words) == []


def test_a_number_beside_a_round_announces_no_rounds() -> None:
    for text in ("lunges with two fewer this time", "now a second helping of it", "down in two wait two"):
        assert rounds_found(ROUNDS[:1], text, 2) == []


def test_rounds_of_a_pair_are_done_where_its_other_half_came_round_as_often() -> None:
    """One of the three squats is read under another name; the push-ups come round three times."""
    names = ["goblet squat", "push-up", "calf raise", "push-up", "goblet squat", "push-up"]
    rows = tuple(chapter(100.0 * k, 100.0 * k + 100, name) for k, name in enumerate(names))
    assert rounds_found(rows, "this pair comes for three rounds", 3) == []
    assert rounds_found(rows[:2] + rows[3:5], "this pair comes for three rounds", 3) == ["rounds-missing"]


def test_the_next_round_under_a_shorter_name_is_no_missing_one() -> None:
    short, other = chapter(100, 200, "squat"), chapter(100, 200, "calf raise")
    assert rounds_found((chapter(), short), "we do two sets of this", 2) == []
    numbers, words = announced(2, "we do two sets of this")
    sets = [reps(10), reps(8, target=8, chapter=1, exercise_name="calf raise")]
    assert kinds(findings(sets, numbers, (chapter(0, 100), other), words=words)) == ["rounds-missing"]


def test_a_next_exercise_without_a_number_of_its_own_may_be_the_next_round() -> None:
    numbers, words = announced(2, "we do two sets of this")
    sets = [reps(10), reps(10, chapter=1, exercise_name="calf raise")]
    assert findings(sets, numbers, (chapter(0, 100), chapter(100, 200, "calf raise")), words=words) == []


def test_a_side_cut_short_by_its_captions_is_no_imbalance() -> None:
    """The right goes on for as long as the eighth rep takes, though nobody calls it."""
    left = reps(8, side="left")
    right, _ = counted(*[(n, 3.0 * n) for n in (1, 2, 4, 5, 7)], side="right")
    assert kinds(findings([left, right])) == ["side-imbalance"]
    assert findings([left, replace(right, end=right.end + 3.0)]) == []


def test_sides_of_one_exercise_in_two_chapters_on_end_are_compared() -> None:
    rows = (chapter(0, 100), chapter(100, 200))
    sides = [reps(10, side="left"), reps(9, side="right", chapter=1)]
    assert kinds(findings(sides, chapters=rows)) == ["side-imbalance"]
    apart = (chapter(0, 100), chapter(100, 150, "push-up"), chapter(150, 200))
    assert findings([sides[0], reps(9, side="right", chapter=2)], chapters=apart) == []


def test_each_rung_of_a_ladder_is_held_against_its_own_other_side() -> None:
    """The first rung's left was missed: right one, left two, right two, left three, right three."""
    rungs = [("right", 4), ("left", 5), ("right", 5), ("left", 6), ("right", 6)]
    assert findings([reps(n, side=side) for side, n in rungs]) == []
    short = [*rungs[:4], ("right", 5)]
    assert kinds(findings([reps(n, side=side) for side, n in short])) == ["side-imbalance"]


def test_a_round_of_as_many_as_were_just_announced_is_no_mismatch() -> None:
    """ "Only six this time" said before the set, though the set was not read as being about it."""
    said_before = [said(190.0, "target", 6, set=None)]
    sets = [reps(8), replace(reps(6, chapter=2), start=200.0)]
    assert kinds(findings(sets, chapters=ROUNDS)) == ["round-mismatch"]
    assert findings(sets, said_before, ROUNDS) == []


def test_match_it_on_the_right_holds_for_a_round_that_was_announced_to_differ() -> None:
    before = [reps(10, side="left"), reps(10, side="right")]
    announced_left = reps(8, target=8, side="left", chapter=2)
    assert findings([*before, announced_left, reps(8, side="right", chapter=2)], chapters=ROUNDS) == []


def test_a_last_round_said_to_begin_is_not_missing() -> None:
    numbers, words = announced(3, "we do three rounds of this and later round three of it")
    last = said(250.0, "rounds", 3, "three", set=None, word=words.split().index("three", 3))
    sets = [reps(10, chapter=c, exercise_name=one.exercise_name) for c, one in enumerate(ROUNDS)]
    assert kinds(findings(sets, numbers, ROUNDS, words=words)) == ["rounds-missing"]
    assert findings(sets, [*numbers, last], ROUNDS, words=words) == []
