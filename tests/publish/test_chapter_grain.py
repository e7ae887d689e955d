"""Chapters by block, exercise and set: where they start, what makes a block, and what they are called."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.model import Chapter, ChapterKind, InputError, Record, Source, Word, WorkSet
from pipeline.publish.chapter_blocks import find_blocks
from pipeline.publish.chapter_starts import chapter_starts
from pipeline.publish.chapter_titles import LONGEST, amount, read_template
from pipeline.publish.grain import GRAINS, leaves, outline
from tests.publish.example import CLASSES, example_record
from tests.publish.records import ANALYSED, SAMPLE_NAMES, record_of

NAMES = sorted(path.name.split(".")[0] for path in CLASSES.glob("*.class.txt"))


def chapter(start: float, name: str, kind: ChapterKind = "exercise", length: float = 60) -> Chapter:
    return Chapter(start, start + length, kind, name.title(), None, name, (), None, 0.9, (0, 0))


def work(index: int, start: float, end: float, **more: object) -> WorkSet:
    one = WorkSet(index, None, "x", None, None, "reps", start, end, 10, 10, None, None, 0.9)
    return replace(one, **more)  # type: ignore[arg-type]


def class_of(*names: str, sets: tuple[WorkSet, ...] = (), words: tuple[Word, ...] = ()) -> Record:
    """A class of a minute an exercise; "-" is a rest."""
    chapters = tuple(
        chapter(60.0 * i, name.strip("-") or "rest", "rest" if name == "-" else "exercise")
        for i, name in enumerate(names)
    )
    source = Source("class.vtt", "webvtt", "cue", 60.0 * len(names))
    return Record(source, None, chapters, sets, (), (), (), words, ())


def blocks_of(*names: str) -> list[tuple[str, int]]:
    return [(one.name, one.rounds) for one in find_blocks(class_of(*names))]


# Blocks


def test_two_exercises_in_turn_are_a_superset() -> None:
    assert blocks_of("squat", "curl", "row", "curl", "row") == [("curl and row superset", 2)]


def test_more_are_a_circuit_and_rests_belong_to_it() -> None:
    names = ("swing", "squat", "plank")
    assert blocks_of(*names, "-", *names, "-", *names) == [("swing, squat and plank circuit", 3)]


def test_one_exercise_with_rests_between_its_rounds_is_a_block() -> None:
    assert blocks_of("squat", "-", "squat", "-", "squat", "row") == [("squat", 3)]


def test_two_supersets_one_after_the_other_are_two_blocks() -> None:
    assert blocks_of("a", "b", "a", "b", "c", "d", "c", "d") == [("a and b superset", 2), ("c and d superset", 2)]


def test_a_stretch_at_both_ends_of_a_class_makes_no_block() -> None:
    assert blocks_of("cat-cow", "squat", "row", "plank", "lunge", "cat-cow") == []


def test_a_round_may_leave_an_exercise_out() -> None:
    assert blocks_of("a", "b", "c", "d", "a", "b", "d") == [("a, b, c and d circuit", 2)]


def test_exercises_of_the_same_seconds_in_a_row_are_intervals() -> None:
    seconds = {"unit": "seconds", "target": 40}
    sets = tuple(work(i, 60 * i + 10, 60 * i + 50, **seconds) for i in range(3))
    record = class_of("swing", "squat", "plank", "row", sets=(*sets, work(3, 190, 220)))
    assert [one.name for one in find_blocks(record)] == ["swing, squat and plank, 40-second intervals"]
    held = tuple(replace(one, still=True) for one in sets)
    assert find_blocks(replace(record, sets=held)) == ()


def test_a_block_is_titled_with_its_rounds() -> None:
    (one,) = outline(class_of("curl", "extension", "curl", "extension"), "block")
    assert one.title == "Block 1: curl and extension superset, 2 rounds"


# Starts


def spoken(*sentences: tuple[float, str]) -> tuple[Word, ...]:
    """Words half a second each, from the times of their sentences."""
    return tuple(
        Word(word, at + 0.5 * i, at + 0.5 * i + 0.4) for at, text in sentences for i, word in enumerate(text.split())
    )


def test_a_start_goes_back_to_its_sentence_and_leads_it_a_little() -> None:
    words = spoken((50.0, "That was that."), (59.0, "And now we squat."))
    record = class_of("row", "squat", words=words)
    assert chapter_starts(record) == [0.0, 59.0]
    earlier = spoken((50.0, "That was that."), (58.9, "And now we squat."))
    assert chapter_starts(replace(record, words=earlier)) == [0.0, 58.6]


def test_no_start_is_inside_the_last_set_though_a_sentence_spans_its_end() -> None:
    words = spoken((58.0, "and eight and now we squat."))
    record = class_of("row", "squat", sets=(work(0, 20.0, 59.2), work(1, 80, 90)), words=words)
    assert chapter_starts(record)[1] >= 59.2


def test_a_sets_chapter_starts_with_the_sentence_that_sets_it_up() -> None:
    words = spoken((0.0, "Squats."), (30.0, "Ten."), (35.4, "Other side now."), (40.0, "One."))
    sets = (work(0, 10, 30.9, side="left"), work(0, 40, 58, side="right"))
    record = replace(class_of("lunge", sets=sets, words=words))
    (whole,) = outline(record, "set")
    assert [(one.start, one.end) for one in whole.parts] == [(0.0, 35.1), (35.1, 60.0)]


@pytest.mark.parametrize("grain", GRAINS)
@pytest.mark.parametrize("name", NAMES)
def test_on_whole_classes_starts_keep_the_rules(name: str, grain: str) -> None:
    record = example_record(name)
    ends_sentence = [word.text.rstrip("\"'”’").endswith((".", "!", "?", "…")) for word in record.words]
    sentence_starts = {word.start for end, word in zip(ends_sentence, record.words[1:], strict=False) if end}
    if sum(ends_sentence) < len(record.pieces) / 2:
        # Captions without punctuation: a line of the script is what a presenter says in one breath.
        sentence_starts = {record.words[piece.first].start for piece in record.pieces}
    listed = list(leaves(outline(record, grain)))
    assert listed[0].start == 0
    assert listed[-1].end == record.source.duration
    assert [one.end for one in listed[:-1]] == [one.start for one in listed[1:]]
    for one in listed[1:]:
        first = min(word.start for word in record.words if word.start >= one.start - 0.001)
        assert first - one.start <= 1
        ends = [each.end for each in record.sets if each.start < one.start - 0.001]
        assert all(end <= one.start + 0.001 for end in ends)
        assert any(abs(first - start) < 0.01 for start in sentence_starts)


def sentence_starts(record: Record) -> set[int]:
    """Return the places of words that begin a sentence; nobody marks them in unpunctuated prose.

    Of captions without punctuation each is what a presenter says in one breath.
    """
    ends = [word.text.rstrip("\"'”’").endswith((".", "!", "?", "…")) for word in record.words]
    if sum(ends) >= len(record.pieces) / 2:
        return {0, *(at for at, end in enumerate(ends, 1) if end)}
    return set() if record.source.timing == "coarse" else {piece.first for piece in record.pieces}


@pytest.mark.parametrize("grain", GRAINS)
@pytest.mark.parametrize("name", [*ANALYSED, *SAMPLE_NAMES])
def test_starts_keep_the_rules_in_classes_as_they_are_read(name: str, grain: str) -> None:
    record = record_of(name)
    sentences = sentence_starts(record)
    listed = list(leaves(outline(record, grain)))
    assert (listed[0].start, listed[-1].end) == (0, pytest.approx(record.source.duration, abs=0.001))
    for one in listed[1:]:
        first = next(i for i, word in enumerate(record.words) if word.start >= one.start - 0.001)
        assert record.words[first].start - one.start <= 1
        ended = max((each.end for each in record.sets if each.start < one.start - 0.001), default=0.0)
        assert ended <= one.start + 0.001
        begun = max((at for at in sentences if at <= first), default=first)
        # Where the set before ends in the middle of a sentence, the chapter starts there and not before.
        assert begun == first or record.words[begun].start < ended


def test_a_block_lists_what_its_exercises_do_and_a_set_lies_in_its_exercise() -> None:
    for name in [*ANALYSED, *SAMPLE_NAMES]:
        starts = {grain: [one.start for one in leaves(outline(record_of(name), grain))] for grain in GRAINS}
        assert set(starts["block"]) <= set(starts["exercise"])
        assert len(starts["block"]) <= len(starts["exercise"]) <= len(starts["set"])


@settings(deadline=None)  # other work on the machine may slow an example
@given(st.lists(st.tuples(st.sampled_from("abcd-"), st.integers(0, 3)), min_size=1, max_size=14))
def test_parts_fill_what_they_are_in(turns: list[tuple[str, int]]) -> None:
    sets = tuple(
        work(i, 60 * i + 15 * k, 60 * i + 15 * k + 9)
        for i, (name, many) in enumerate(turns)
        if name != "-"
        for k in range(many)
    )
    record = class_of(*(name for name, _ in turns), sets=sets)
    for grain in GRAINS:
        todo = list(outline(record, grain))
        assert (todo[0].start, todo[-1].end) == (0.0, record.source.duration)
        while todo:
            one = todo.pop()
            assert one.start < one.end
            assert one.title
            if one.parts:
                assert len(one.parts) > 1
                assert (one.parts[0].start, one.parts[-1].end) == (one.start, one.end)
                todo += one.parts


# Titles


FACTS = {"exercise": "Goblet squat", "reps": "12 reps", "round": "2", "rounds": "3", "side": "", "number": "4"}


@pytest.mark.parametrize(
    ("template", "title"),
    [
        ("{exercise}[, {reps}]", "Goblet squat, 12 reps"),
        ("{exercise}[, {side}][, {reps}]", "Goblet squat, 12 reps"),
        ("{number}. {exercise}[ (round {round} of {rounds})]", "4. Goblet squat (round 2 of 3)"),
        ("{exercise}[, {tempo} tempo]", "Goblet squat"),
        ("{{{exercise}}}", "{Goblet squat}"),
    ],
)
def test_a_template_leaves_out_what_is_not_known(template: str, title: str) -> None:
    assert read_template(template).title(FACTS) == title


@pytest.mark.parametrize(
    ("template", "told"),
    [
        ("{exercise", "cannot be read"),
        ("{name}", "no such field as {name}"),
        ("{}", "no such field as {}"),
        ("[{exercise}", "a bracket without its other"),
        ("Exercise", "has no field"),
    ],
)
def test_what_is_no_template_is_told(template: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        read_template(template)


def test_a_long_title_loses_its_last_optional_parts_first() -> None:
    facts = {"exercise": "Half-kneeling single-arm bottoms-up press", "reps": "8 reps a side", "tempo": "3-1-1-0"}
    template = read_template("{exercise}[, {reps}][, {tempo} tempo, every rep of it as slow as that]")
    assert template.title(facts) == "Half-kneeling single-arm bottoms-up press, 8 reps a side"
    assert len(read_template("{exercise}").title({"exercise": "very " * 40 + "slow squat"})) <= LONGEST


def test_amounts_are_said_as_in_the_trade() -> None:
    left, right = work(0, 0, 9, side="left"), work(0, 9, 20, side="right")
    assert amount([work(0, 0, 9)], "reps") == "10 reps"
    assert amount([work(0, 0, 9, target=1)], "reps") == "1 rep"
    assert amount([left, right], "reps") == "10 reps a side"
    assert amount([work(0, 0, 9)] * 3, "reps") == "3 × 10 reps"
    assert amount([work(0, 0, 9, target=12), work(0, 0, 9)], "reps") == "12 + 10 reps"
    assert amount([work(0, 0, 9, target=None, performed=None)], "reps") == ""


def test_a_users_template_titles_the_grain_and_leaves_rests_alone() -> None:
    record = class_of("curl", "row", "curl", "row", "-", "squat")
    tree = outline(record, "exercise", "{number}: {exercise}[ in block {block}]")
    assert tree[0].title == "Block 1: curl and row superset, 2 rounds"
    titles = [one.title for one in leaves(tree)]
    assert titles[0] == "1: Curl in block 1"
    assert titles[-2:] == ["Rest", "6: Squat"]


def test_an_unknown_grain_is_told() -> None:
    with pytest.raises(InputError, match="'minute' is no grain of chapters; one of exercise, block, set"):
        outline(class_of("squat"), "minute")
