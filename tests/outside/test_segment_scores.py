"""One conversion of chapters to text segments, and one value of Pk and WindowDiff, in three libraries.

NLTK takes a string with a character a gap between units, segeval the lengths of the segments; ``chunkseg``
takes times, marks the chunk that a boundary falls in, and hands the row to segeval. Its row of N - 1 chunks
of a second is our row of N - 1 gaps where a boundary after unit t is given as one in chunk t - 1.
"""

from __future__ import annotations

from itertools import accumulate

import chunkseg
import pytest
import segeval
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pipeline.analyze import analyze
from tests.bench.baselines import baseline_starts
from tests.bench.corpus import GoldClass, load_classes
from tests.bench.segments import boundaries, boundary_string, masses, window, window_scores

CLASSES = {one.id: one for one in load_classes()}
untimed = settings(deadline=None, max_examples=50, suppress_health_check=[HealthCheck.too_slow])
#: Lengths of chapters (s). segeval compares counts with ``is``, which holds for small numbers only: with
#: chapters of two minutes at most, half a mean chapter is well under the 256 units where it stops holding.
lengths = st.lists(st.integers(10, 120), min_size=2, max_size=12)


def by_segeval(gold: list[float], found: list[float], duration: float) -> dict[str, float]:
    truth, guess = masses(gold, duration), masses(found, duration)
    return {
        "pk": float(segeval.pk(guess, truth)),
        "window_diff": float(segeval.window_diff(guess, truth)),
    }


def by_chunkseg(gold: list[float], found: list[float], duration: float) -> dict[str, float]:
    def chunks(starts: list[float]) -> list[float]:
        return [float(t - 1) for t in accumulate(masses(starts, duration)[:-1])]

    seconds = sum(masses(gold, duration))
    scores = chunkseg.evaluate(chunks(found), chunks(gold), duration=float(seconds - 1), chunk_size=1.0)
    return {name: float(scores[name]) for name in ("pk", "window_diff")}


def assert_all_agree(gold: list[float], found: list[float], duration: float) -> None:
    ours = window_scores(gold, found, duration)
    assert ours == pytest.approx(by_segeval(gold, found, duration))
    assert ours == pytest.approx(by_chunkseg(gold, found, duration))


@untimed
@given(lengths, lengths)
def test_made_up_chapters_score_alike_in_all_three(gold_lengths: list[int], found_lengths: list[int]) -> None:
    duration = sum(gold_lengths)
    gold, found = (list(map(float, accumulate(row[:-1]))) for row in (gold_lengths, found_lengths))
    assert_all_agree(gold, [start for start in found if start < duration], duration)


@untimed
@given(lengths)
def test_masses_are_the_lengths_of_the_chapters(row: list[int]) -> None:
    starts = [float(t) for t in accumulate(row[:-1])]
    assert masses(starts, sum(row)) == tuple(row)
    assert segeval.convert_nltk_to_masses(boundary_string(starts, sum(row))) == tuple(row)
    assert window(starts, sum(row)) == segeval.compute_window_size(tuple(row))


def baseline_guesses(one: GoldClass) -> list[list[float]]:
    return [baseline_starts(name, one, "captions") for name in ("TextTiling", "evenly spaced")]


@pytest.mark.parametrize("name", CLASSES)
def test_simple_chapters_of_the_annotated_classes_score_alike_in_all_three(name: str) -> None:
    one = CLASSES[name]
    gold, duration = boundaries(one.gold["chapters"]), one.gold["duration"]
    for found in baseline_guesses(one):
        assert segeval.convert_nltk_to_masses(boundary_string(found, duration)) == masses(found, duration)
        assert_all_agree(gold, found, duration)
    assert window_scores(gold, gold, duration) == {"pk": 0.0, "window_diff": 0.0}


@pytest.mark.parametrize("name", ["d01", "d06", "d12"])
def test_our_chapters_score_alike_in_all_three_and_beat_simple_ones(name: str) -> None:
    one = CLASSES[name]
    gold, duration = boundaries(one.gold["chapters"]), one.gold["duration"]
    found = boundaries(analyze(one.forms["captions"]).to_dict()["chapters"])
    assert_all_agree(gold, found, duration)
    for simple in baseline_guesses(one):
        assert window_scores(gold, found, duration)["pk"] < window_scores(gold, simple, duration)["pk"]
