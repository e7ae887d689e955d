"""The benchmark's chapter scores agree with the boundary scores of two public libraries.

``mir_eval.segment.detection`` (Raffel and others, "mir_eval: A Transparent Implementation of Common MIR
Metrics", ISMIR 2014) scores the boundaries of songs' parts within 3 s; with ``trim`` it leaves the two ends
of the recording out, as our scorer leaves out the first chapter. It pairs boundaries so that as many as
possible have a partner; our scorer pairs the closest first, which can only pair fewer. They agree wherever
no boundary has two within reach.

``chunkseg`` (its "collar" F1) pairs the closest first too, and agrees everywhere. The three name precision
and recall of an empty list differently, so those are compared for lists that hold something.
"""

from __future__ import annotations

from collections import Counter
from itertools import accumulate, pairwise
from random import Random

import chunkseg
import mir_eval
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.bench.baselines import baseline_starts, chapters_only
from tests.bench.corpus import GoldClass, bench_module, load_classes
from tests.bench.segments import boundaries

#: The customary wide window of mir_eval, the collar of chunkseg and our scorer's for captions, in seconds.
WINDOW = 3.0
DURATION = 600.0  # seconds; of the made-up classes
CLASSES = {one.id: one for one in load_classes()}
untimed = settings(deadline=None, max_examples=100, suppress_health_check=[HealthCheck.too_slow])

#: Gold starts lie on tenths of a second and found ones between them: two exactly 3 s apart would hang on the
#: last bit of a sum, which mir_eval forms in another way.
BETWEEN = 0.05


def tenths(row: list[int], offset: float = 0.0) -> list[float]:
    return [t / 10 + offset for t in row]


#: Starts at least 6.1 s apart, so that none has two of the other list within 3 s.
apart = st.lists(st.integers(61, 400), min_size=1, max_size=14).map(lambda gaps: list(accumulate(gaps)))
anywhere = st.lists(st.integers(1, 5989), min_size=1, max_size=14, unique=True).map(sorted)


def by_us(gold: list[float], found: list[float]) -> tuple[float, float, float]:
    scorer = bench_module("score")
    tally: Counter[str] = Counter()
    chapters = [{"start": start, "kind": "exercise", "names": []} for start in [0.0, *gold]]
    truth = {"id": "made up", "chapters": chapters, "sets": [], "numbers": [], "findings": []}
    scorer.score(truth, chapters_only(found, "cue"), tally, [])
    figures = scorer.prf(tally["chapter.hit"], tally["chapter.gold"], tally["chapter.found"])
    return figures["p"], figures["r"], figures["f1"]


def by_mir_eval(gold: list[float], found: list[float], duration: float = DURATION) -> tuple[float, float, float]:
    def intervals(starts: list[float]) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
        edges = [0.0, *starts, duration]
        return np.array(list(pairwise(edges)))

    precision, recall, f1 = mir_eval.segment.detection(intervals(gold), intervals(found), window=WINDOW, trim=True)
    return precision, recall, f1


def by_chunkseg(gold: list[float], found: list[float], duration: float = DURATION) -> tuple[float, float, float]:
    scores = chunkseg.evaluate(hypothesis=found, reference=gold, duration=duration, collar=WINDOW)
    return scores["collar_precision"], scores["collar_recall"], scores["collar_f1"]


def within_reach(gold: list[float], found: list[float]) -> int:
    """Return the most boundaries of one list that any boundary of the other has within the window."""
    near = [[abs(g - f) <= WINDOW for f in found] for g in gold]
    return max([sum(row) for row in near] + [sum(column) for column in zip(*near, strict=True)], default=0)


@untimed
@given(apart.map(tenths), apart.map(lambda row: tenths(row, BETWEEN)))
def test_boundaries_well_apart_score_as_in_mir_eval(gold: list[float], found: list[float]) -> None:
    end = max([*gold, *found]) + 1.0
    assert by_us(gold, found) == pytest.approx(by_mir_eval(gold, found, end))


@untimed
@given(anywhere.map(tenths), anywhere.map(lambda row: tenths(row, BETWEEN)))
def test_closest_first_never_scores_above_mir_eval(gold: list[float], found: list[float]) -> None:
    assert by_us(gold, found)[2] <= by_mir_eval(gold, found)[2] + 1e-9


@untimed
@given(anywhere.map(tenths), anywhere.map(lambda row: tenths(row, BETWEEN)))
def test_boundaries_anywhere_score_as_in_chunkseg(gold: list[float], found: list[float]) -> None:
    assert by_us(gold, found) == pytest.approx(by_chunkseg(gold, found))


def test_no_chapters_where_there_are_none_are_full_marks_as_in_chunkseg() -> None:
    assert by_us([], [])[2] == by_chunkseg([], [])[2] == 1.0


@pytest.mark.filterwarnings("ignore:.*intervals are empty")
@pytest.mark.parametrize(("gold", "found"), [([60.0], []), ([], [60.0])])
def test_nothing_against_something_scores_nought_in_all_three(gold: list[float], found: list[float]) -> None:
    assert by_us(gold, found)[2] == by_chunkseg(gold, found)[2] == by_mir_eval(gold, found)[2] == 0.0


def test_pairing_the_closest_first_can_leave_two_without_a_partner() -> None:
    gold, found = [10.0, 13.0], [12.5, 15.5]
    assert by_us(gold, found) == by_chunkseg(gold, found) == (0.5, 0.5, 0.5)
    assert by_mir_eval(gold, found) == (1.0, 1.0, 1.0)


def guesses(one: GoldClass) -> list[list[float]]:
    """Chapter starts that are right, somewhat right and mostly wrong, for a class."""
    rng = Random(one.id)
    gold = boundaries(one.gold["chapters"])
    shaken = sorted(min(one.gold["duration"] - 1, max(1.0, start + rng.gauss(0, 3))) for start in gold)
    fewer = [start for start in shaken if rng.random() < 0.7]
    return [
        gold,
        shaken,
        fewer,
        *(baseline_starts(name, one, "captions") for name in ("TextTiling", "evenly spaced")),
    ]


@pytest.mark.parametrize("name", CLASSES)
def test_the_annotated_classes_chapters_score_alike_in_all_three(name: str) -> None:
    one = CLASSES[name]
    gold, duration = boundaries(one.gold["chapters"]), one.gold["duration"]
    compared = 0
    for found in guesses(one):
        found = [start for start in found if start < duration]
        assert by_us(gold, found) == pytest.approx(by_chunkseg(gold, found, duration))
        if within_reach(gold, found) <= 1:
            compared += 1
            assert by_us(gold, found) == pytest.approx(by_mir_eval(gold, found, duration))
    assert compared >= 2
