"""The whole hallway: what holds of every record, and the mistakes planted in the shipped samples.

The planted mistakes and what only looks like one are listed in ``samples/README.md``.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from pipeline.analyze import analyze
from pipeline.audit import Settings
from pipeline.model import Chapter, Finding, Number, Record, WorkSet
from pipeline.transcripts import read
from tests.building import transcript
from tests.counting.test_roles import SQUATS

SAMPLES = Path(__file__).parents[1] / "samples"
FILES = sorted(
    path.name
    for path in SAMPLES.iterdir()
    if path.name != "README.md" and path.suffix in {".vtt", ".srt", ".json", ".csv", ".md"}
)
SHORT = {
    "squats and a plank": SQUATS,
    "talk alone": """
        0.0   Hello and welcome, I'm Jago, lovely to see you all.
        8.0   Today we look back at a good week.
        14.0  You need nothing but a cup of tea.
        21.0  Thank you so much for all your letters.
        28.0  That's us for today, see you next time.
    """,
    "one word": "0.0 Go.",
    "numbers alone": "\n".join(f"{3 * n}.0 {n}." for n in range(1, 9)),
    "a stretch for breaths": """
        0.0   Welcome, this is a short one.
        5.0   We come into child's pose, sit back on your heels.
        10.0  Stay here for five breaths.
        14.0  In and out, soften your shoulders.
        34.0  And last breath.
        40.0  Slowly come up. Thank you, see you next time.
    """,
    "a set nobody counts": """
        0.0   Welcome, grab your mat.
        5.0   First up, the glute bridge, feet flat, knees bent.
        11.0  We do twelve of these.
        15.0  Off we go, press and lower.
        30.0  Squeeze at the top.
        45.0  Keep going, lovely.
        55.0  And relax, well done.
        60.0  Thank you, see you next time.
    """,
}


@cache
def record(name: str) -> Record:
    return analyze(transcript(SHORT[name])) if name in SHORT else analyze(read(SAMPLES / name))


ALL = pytest.mark.parametrize("name", [*SHORT, *FILES])


def test_every_form_of_every_sample_is_tried() -> None:
    assert len(FILES) == 7


@ALL
def test_chapters_cover_the_class_from_nought_without_a_gap(name: str) -> None:
    chapters = record(name).chapters
    assert chapters[0].start == 0
    assert chapters[-1].end == pytest.approx(record(name).source.duration, abs=0.001)
    assert all(a.end == b.start for a, b in pairwise(chapters))
    assert all(one.end > one.start for one in chapters)


@ALL
def test_sets_follow_each_other_inside_their_chapters(name: str) -> None:
    found = record(name)
    assert all(a.end <= b.start + 0.001 for a, b in pairwise(found.sets))
    assert [one.chapter for one in found.sets] == sorted(one.chapter for one in found.sets)
    for one in found.sets:
        chapter = found.chapters[one.chapter]
        assert chapter.start <= one.start < chapter.end
        assert one.start <= one.end
        assert chapter.kind == "exercise"
        assert (one.exercise, one.exercise_name) == (chapter.exercise, chapter.exercise_name)


@ALL
def test_reps_rise_by_one_and_a_called_one_is_where_it_was_called(name: str) -> None:
    found = record(name)
    said = {number.time for number in found.numbers if number.role == "rep"}
    for one in found.sets:
        assert [rep.n for rep in one.reps] == list(range(1, len(one.reps) + 1))
        assert all(a.time < b.time for a, b in pairwise(one.reps))
        for rep in one.reps:
            assert (rep.spread == 0) == rep.called
            assert not rep.called or rep.time in said


@ALL
def test_what_was_done_is_the_reps_or_nothing(name: str) -> None:
    for one in record(name).sets:
        assert not one.reps or (one.unit == "reps" and len(one.reps) == one.performed)


@ALL
def test_numbers_and_findings_refer_to_the_sets_they_are_in(name: str) -> None:
    found = record(name)
    for number in found.numbers:
        assert found.words[number.words[0]].start - 0.001 <= number.time <= found.words[number.words[1] - 1].end
        if number.set is not None:
            assert found.sets[number.set].start - 0.001 <= number.time <= found.sets[number.set].end + 0.001
    assert [one.time for one in found.numbers] == sorted(one.time for one in found.numbers)
    for finding in found.findings:
        assert finding.set is None or 0 <= finding.set < len(found.sets)
        assert finding.message.endswith(".")
        assert finding.evidence


@ALL
def test_every_confidence_is_a_share(name: str) -> None:
    found = record(name)
    parts: list[Chapter | WorkSet | Number | Finding] = [*found.chapters, *found.sets, *found.numbers, *found.findings]
    assert parts
    assert all(0 <= one.confidence <= 1 for one in parts)


@ALL
def test_the_same_class_gives_the_same_record(name: str) -> None:
    again = analyze(transcript(SHORT[name])) if name in SHORT else analyze(read(SAMPLES / name))
    assert again.to_json() == record(name).to_json()


def test_a_counted_set_and_a_hold_are_what_was_said() -> None:
    squat, plank = record("squats and a plank").sets
    assert (squat.exercise_name.lower(), squat.target, squat.performed) == ("goblet squat", 8, 8)
    assert [rep.n for rep in squat.reps if not rep.called] == [4]
    assert (plank.unit, plank.target, plank.performed, plank.still) == ("seconds", 20, 20, True)
    assert record("squats and a plank").findings == ()


def test_breaths_have_neither_target_nor_length() -> None:
    (stretch,) = record("a stretch for breaths").sets
    assert (stretch.unit, stretch.target, stretch.performed, stretch.reps) == ("seconds", None, None, ())


def test_a_set_nobody_counted_is_not_guessed() -> None:
    (bridge,) = record("a set nobody counts").sets
    assert (bridge.unit, bridge.target, bridge.performed, bridge.reps) == ("reps", 12, None, ())
    assert record("a set nobody counts").findings == ()


def test_talk_alone_has_no_sets() -> None:
    assert record("talk alone").sets == ()
    assert record("one word").findings == ()


def test_settings_reach_the_audit() -> None:
    heard = read(SAMPLES / "low-impact-intervals.vtt")
    kind = analyze(heard, settings=Settings(interval_share=0.5))
    assert "interval-off-clock" in {one.kind for one in record("low-impact-intervals.vtt").findings}
    assert "interval-off-clock" not in {one.kind for one in kind.findings}


#: (seconds, kind) of each mistake planted in a sample, and of each that coarse stamps can tell.
SUPERSETS = [
    (81, "remaining-mismatch"), (234, "halfway-off"), (402, "skipped-count"), (409, "under-target"),
    (423, "tempo-off-clock"),
]  # fmt: skip
HOLDS = [(124, "repeated-count"), (135, "over-target"), (255, "hold-off-clock"), (419, "side-imbalance")]
INTERVALS = [(160, "halfway-off"), (222, "interval-off-clock"), (370, "interval-off-clock")]
PLANTED = {
    "dumbbell-supersets.vtt": SUPERSETS,
    "dumbbell-supersets.stamped.md": SUPERSETS[:2],
    "mat-core-holds.srt": HOLDS,
    "mat-core-holds.vtt": HOLDS,
    "mat-core-holds.words.json": HOLDS,
    "low-impact-intervals.vtt": INTERVALS,
    "low-impact-intervals.csv": INTERVALS,
}
#: A finding may stand anywhere in the set that it is about (seconds around the words that give it away).
AROUND = 15.0


@pytest.mark.parametrize(
    ("name", "time", "kind"), [(name, time, kind) for name, rows in PLANTED.items() for time, kind in rows]
)
def test_a_planted_mistake_is_found(name: str, time: float, kind: str) -> None:
    assert any(one.kind == kind and abs(one.time - time) <= AROUND for one in record(name).findings)


@pytest.mark.parametrize("name", ["dumbbell-supersets.vtt", "dumbbell-supersets.stamped.md"])
def test_nothing_else_is_reported_of_the_supersets(name: str) -> None:
    """Neither the stuttered "one, one" nor the second round that was announced shorter."""
    assert len(record(name).findings) == len(PLANTED[name])


@pytest.mark.parametrize("name", ["low-impact-intervals.vtt", "low-impact-intervals.csv"])
def test_the_sparse_counts_of_the_intervals_are_no_mistakes(name: str) -> None:
    assert {one.kind for one in record(name).findings} <= {"halfway-off", "interval-off-clock", "remaining-mismatch"}


def test_the_forms_of_one_class_give_the_same_findings() -> None:
    forms = [[(one.kind, one.set) for one in record(f"mat-core-holds.{ending}").findings] for ending in ("srt", "vtt")]
    assert forms[0] == forms[1] != []
