"""Generated classes are sound annotated scripts; a variant of a transcript changes only what it says."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from tests.bench.corpus import GoldClass, bench_module, load_class
from tests.bench.generate import LONGEST, SHORTEST, generate
from tests.bench.generator.noise import Noise
from tests.bench.variants import add_chatter, figures_to_words, shift, split_pieces, words_to_figures

SEEDS = range(12)
#: Every kind of finding that FORMAT.md names, with a seed range wide enough to meet them all.
MANY_SEEDS = range(60)


def parse(text: str, folder: Path) -> Any:
    path = folder / "one.class.txt"
    path.write_text(text, "utf-8")
    return bench_module("compile").parse(path)


def complaints(text: str, folder: Path) -> list[str]:
    script = parse(text, folder)
    return [*script.problems, *bench_module("compile").check_sets(script)]


@pytest.fixture(scope="module")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> GoldClass:
    path = tmp_path_factory.mktemp("scripts") / "one.class.txt"
    path.write_text(generate(3), "utf-8")
    return load_class(path)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("clean", [False, True])
def test_a_generated_class_keeps_the_rules_of_the_format(seed: int, clean: bool, tmp_path: Path) -> None:
    assert complaints(generate(seed, clean=clean), tmp_path) == []


@pytest.mark.parametrize("seed", SEEDS)
def test_a_noisy_class_keeps_the_rules_of_the_format(seed: int, tmp_path: Path) -> None:
    assert complaints(generate(seed, Noise.usual()), tmp_path) == []


@pytest.mark.parametrize("seed", SEEDS)
def test_a_class_lasts_eight_to_sixteen_minutes(seed: int, tmp_path: Path) -> None:
    end = parse(generate(seed), tmp_path).lines[-1].end
    assert SHORTEST - 1 <= end <= LONGEST + 1


def test_the_same_seed_gives_the_same_bytes() -> None:
    assert generate(5) == generate(5)
    assert generate(5, Noise.usual()) == generate(5, Noise.usual())
    assert generate(5) != generate(6)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_clean_class_has_no_finding_and_does_what_is_announced(seed: int, tmp_path: Path) -> None:
    script = parse(generate(seed, clean=True), tmp_path)
    assert script.findings == []
    for one in script.sets:
        if one["target"] is not None and one["performed"] is not None:
            assert one["target"] == one["performed"]


def test_every_kind_of_mistake_is_planted(tmp_path: Path) -> None:
    kinds = {f["kind"] for seed in MANY_SEEDS for f in parse(generate(seed), tmp_path).findings}
    assert kinds == bench_module("compile").KINDS


def test_a_rep_is_called_when_the_sets_cadence_says_so(tmp_path: Path) -> None:
    """FORMAT.md's first rule for the clock: the reps between two calls take the set's own cadence.

    Give or take 15 %, and 0.15 s for times written in tenths and words laid out within their line.
    """
    for seed in SEEDS:
        script = parse(generate(seed, clean=True), tmp_path)
        for one in script.sets:
            calls = {
                word["n"]: word["start"]
                for line in script.lines
                for word in line.words
                if word.get("role") == "rep" and one["start"] <= word["start"] <= one["end"]
            }
            ordered = sorted(calls.items())
            if len(ordered) < 4:
                continue
            cadence = (ordered[-1][1] - ordered[0][1]) / (ordered[-1][0] - ordered[0][0])
            for (m, a), (n, b) in pairwise(ordered):
                assert b - a == pytest.approx((n - m) * cadence, abs=0.15 * (n - m) * cadence + 0.25)


def test_what_a_recogniser_loses_takes_no_rep_away(tmp_path: Path) -> None:
    for seed in SEEDS:
        heard = parse(generate(seed, Noise(missing_count=0.4)), tmp_path)
        spoken = parse(generate(seed), tmp_path)
        keys = ("performed", "target", "side", "unit", "round")
        assert [[s[k] for k in keys] for s in heard.sets] == [[s[k] for k in keys] for s in spoken.sets]
        assert [(f["kind"], f["set"]) for f in heard.findings] == [(f["kind"], f["set"]) for f in spoken.findings]


def test_a_shift_moves_every_time_and_no_word(loaded: GoldClass) -> None:
    before = loaded.forms["captions"]
    after = shift(before, 12.5)
    assert [w.text for w in after.words] == [w.text for w in before.words]
    assert all(b.start == pytest.approx(a.start + 12.5) for a, b in zip(before.words, after.words, strict=True))
    assert shift(after, -12.5).pieces[0].start == pytest.approx(before.pieces[0].start)


def test_split_pieces_cover_the_same_words(loaded: GoldClass) -> None:
    before = loaded.forms["captions"]
    after = split_pieces(before)
    assert len(after.pieces) > 1.5 * len(before.pieces)
    assert [i for p in after.pieces for i in range(p.first, p.stop)] == list(range(len(before.words)))
    assert after.words == before.words


def test_figures_stand_for_number_words_and_back(loaded: GoldClass) -> None:
    before = loaded.forms["captions"]
    figures = words_to_figures(before)
    words = figures_to_words(figures)
    assert len(figures.words) == len(words.words) == len(before.words)
    assert any(w.text.strip(".,").isdigit() for w in figures.words)
    assert not any(w.text.strip(".,").isdigit() for w in words.words)


def test_chatter_between_sets_changes_no_set(tmp_path: Path) -> None:
    added = 0
    for seed in SEEDS:
        text = generate(seed)
        longer = add_chatter(text, seed)
        before, after = parse(text, tmp_path), parse(longer, tmp_path)
        added += len(after.lines) - len(before.lines)
        assert complaints(longer, tmp_path) == []
        assert after.sets == before.sets
        assert [(c["kind"], c["names"]) for c in after.chapters] == [(c["kind"], c["names"]) for c in before.chapters]
    assert added > 0
