"""The word clock: where words fall in captions and in paragraphs, measured on the annotated classes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from pathlib import Path
from statistics import mean, quantiles

import pytest

from pipeline.transcripts.clock import Span, lay_out_paragraphs, share_span
from pipeline.transcripts.counts import counted_numbers, find_counts
from tests.bench.compile import parse

CLASSES = sorted((Path(__file__).parents[1] / "bench/classes").glob("*.class.txt"))
HELD_OUT = [path for path in CLASSES if int(path.name[1:3]) % 2 == 0]
"""The pauses and the pace of counts were set on the classes with odd numbers; these had no part in that."""

PARAGRAPH = 20.0
"""Seconds that a paragraph of the compiled classes holds at least (``tests/bench/compile.py``, ``write``)."""

Paragraph = tuple[Sequence[str], float, float]


STEADY = 1.15 / 0.85
"""Longest rep by shortest: a set keeps its pace within 15 % (``tests/bench/FORMAT.md``)."""


def lay_out(text: str, start: float, end: float) -> list[Span]:
    [spans] = lay_out_paragraphs([(text.split(), start, end)])
    return spans


def starts(text: str, start: float, end: float) -> dict[str, float]:
    spans = lay_out(text, start, end)
    return {word: begun for word, (begun, _) in zip(text.split(), spans, strict=True)}


def plainly(paragraphs: Sequence[Paragraph]) -> list[list[Span]]:
    return [share_span(words, start, end) for words, start, end in paragraphs]


def errors(
    paths: Sequence[Path], clock: Callable[[Sequence[Paragraph]], list[list[Span]]], role: str | None = None
) -> list[float]:
    """Return how many seconds each word (or each number of a role) is off in the classes' stamped form."""
    off = []
    for path in paths:
        blocks: list[list[dict]] = []
        stamps: list[float] = []
        begun = -PARAGRAPH
        for line in parse(path).lines:
            if line.start - begun >= PARAGRAPH:
                begun = line.start
                blocks.append([])
                stamps.append(float(int(begun)))
            blocks[-1] += line.words
        ends = [*stamps[1:], stamps[-1] + len(blocks[-1]) / 2.6]
        paragraphs = [
            ([word["text"] for word in block], start, end)
            for block, start, end in zip(blocks, stamps, ends, strict=True)
        ]
        for block, spans in zip(blocks, clock(paragraphs), strict=True):
            for word, (start, _) in zip(block, spans, strict=True):
                if role in (None, word.get("role")):
                    off.append(abs(start - word["start"]))
    return off


def ninetieth(values: Sequence[float]) -> float:
    return quantiles(values, n=10)[-1]


@pytest.mark.parametrize("role", [None, "rep"], ids=["all words", "called reps"])
def test_on_classes_not_used_for_it_the_clock_is_a_fifth_better_than_plain_shares(role: str | None) -> None:
    clock, plain = errors(HELD_OUT, lay_out_paragraphs, role), errors(HELD_OUT, plainly, role)
    assert mean(clock) < 0.8 * mean(plain)
    assert ninetieth(clock) < 0.8 * ninetieth(plain)


@pytest.mark.parametrize("path", CLASSES, ids=lambda path: path.name[:3])
def test_no_class_is_timed_worse_than_by_plain_shares(path: Path) -> None:
    assert mean(errors([path], lay_out_paragraphs)) < mean(errors([path], plainly))


def test_the_time_between_two_calls_is_in_proportion_to_the_reps_between_them() -> None:
    at = starts("Two. Three, chest tall. Six. Eight, lovely.", 60.5, 84.5)
    reps = [(at["Six."] - at["Three,"]) / 3, at["Three,"] - at["Two."], (at["Eight,"] - at["Six."]) / 2]
    assert max(reps) < STEADY * min(reps)


def test_counting_down_is_as_even_as_counting_up() -> None:
    at = starts("Five. Four. Three. Two, lovely. One.", 60.5, 80.5)
    gaps = [b - a for a, b in pairwise(at[word] for word in ("Five.", "Four.", "Three.", "Two,", "One."))]
    assert max(gaps) < STEADY * min(gaps)


def test_a_count_keeps_its_pace_over_the_end_of_a_paragraph() -> None:
    first = "Take the bells and stand. One. Two. Three. Four."
    second = "Five. Six. Put them down and shake it out. Next is the row, so hinge. Let the arms hang."
    one, two = lay_out_paragraphs([(first.split(), 0.5, 20.5), (second.split(), 20.5, 40.5)])
    at = [one[-4][0], one[-3][0], one[-2][0], one[-1][0], two[0][0], two[1][0]]
    pace = [b - a for a, b in pairwise(at)]
    assert max(pace) < STEADY * min(pace)


def test_a_pause_is_at_the_end_of_a_sentence_and_not_inside_one() -> None:
    spans = lay_out("Push your hips back. Stand tall and breathe.", 0.5, 12.5)
    pauses = [b[0] - a[1] for a, b in pairwise(spans)]
    assert pauses.index(max(pauses)) == 3
    assert max(pauses) > 2


def test_words_that_need_more_time_than_there_is_are_said_faster() -> None:
    spans = lay_out("Two. Three, chest tall. Six. And rest there for a while.", 10.25, 11.25)
    assert spans[0][0] == pytest.approx(10.25)
    assert spans[-1][1] == pytest.approx(11.25)
    assert all(a[1] <= b[0] + 1e-9 for a, b in pairwise(spans))


def test_no_time_at_all_is_no_trouble() -> None:
    assert lay_out_paragraphs([(["One.", "Two."], 5.25, 5.25)]) == [[(5.25, 5.25), (5.25, 5.25)]]
    assert share_span([], 1.0, 2.0) == []


@pytest.mark.parametrize(
    ("text", "counted"),
    [
        ("Two. Three, chest tall. Six.", [2, 3, 6]),
        ("And one. That's twenty-one.", [1, 21]),
        ("Take two dumbbells, and two more. One hand up.", []),
        ("Three, two, one, go.", [3]),
        ("two chest tall 3 and four", [2, 3, 4]),
        ("twelve of those with two dumbbells for ten seconds", []),
        ("ready three two one curl", [3]),
        ("one two three four tiny tiny five", [1, 2, 3, 4, 5]),
        ("lift it won to three and ate", [1, 2, 3, 8]),
    ],
)
def test_numbers_that_count_stand_alone(text: str, counted: list[int]) -> None:
    assert [value for value in counted_numbers(text.split()) if value is not None] == counted


@pytest.mark.parametrize(
    ("numbers", "counts"),
    [
        ([1, 2, 5], [[0, 1, 2]]),
        ([5, 4, 3, 1], [[0, 1, 2, 3]]),
        ([1, 2, 3, 1, 2], [[0, 1, 2], [3, 4]]),
        ([2, 12], []),
        ([4, 4], []),
    ],
)
def test_a_count_goes_steadily_up_or_down(numbers: list[int], counts: list[list[int]]) -> None:
    assert find_counts(numbers, [3.0 * i for i in range(len(numbers))]) == counts


def test_a_long_silence_ends_a_count() -> None:
    assert find_counts([1, 2, 3], [0.0, 3.0, 60.0]) == [[0, 1]]
