"""Differences from a run sheet stand among the findings, with the words that they were read from."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from pipeline.model import FindingKind, Record, Word
from pipeline.plan import DIFFERENCE_KINDS, add_findings, compare
from pipeline.publish import export
from pipeline.publish.report_words import FINDING_LABELS
from tests.plan.test_compare import block, done, plan, planned


def spoken(record: Record) -> Record:
    """A class in which each exercise is announced by three words at its start."""
    words = tuple(
        Word(text, one.start + i, one.start + i + 0.5)
        for one in record.chapters
        for i, text in enumerate(("Next", one.exercise_name, "please."))
    )
    chapters = tuple(replace(one, words=(3 * i, 3 * i + 3)) for i, one in enumerate(record.chapters))
    sets = tuple(replace(one, words=(3 * i + 1, 3 * i + 3), confidence=0.7) for i, one in enumerate(record.sets))
    return replace(record, words=words, chapters=chapters, sets=sets)


def held(sheet_of: tuple[str, ...], record: Record) -> Record:
    return add_findings(record, compare(plan(block(*(planned(name) for name in sheet_of))), record))


def test_what_was_added_is_shown_with_the_words_that_announced_it() -> None:
    record = spoken(done("squat", "burpee", "row"))
    (one,) = held(("squat", "row"), record).findings
    assert (one.kind, one.said, one.expected, one.time) == ("added", "burpee", "not in the run sheet", 60.0)
    assert (one.evidence, one.confidence) == ("Next burpee please.", 0.9)


def test_what_was_left_out_has_no_words() -> None:
    (one,) = held(("squat", "row", "plank"), spoken(done("squat", "plank"))).findings
    assert (one.kind, one.said, one.expected, one.evidence) == ("left-out", "not done", "row", "")


def test_other_reps_are_as_sure_as_their_set() -> None:
    (one,) = held(("squat",), spoken(done(("squat", 8)))).findings
    assert (one.kind, one.set, one.said, one.expected) == ("reps-differ", 0, "8 reps", "10 reps")
    assert (one.evidence, one.confidence) == ("squat please.", 0.7)


def test_a_class_of_nothing_lacks_all_that_was_planned() -> None:
    assert [one.kind for one in held(("squat", "row"), done()).findings] == ["left-out", "left-out"]


def test_the_audit_the_timeline_and_the_record_have_them_too() -> None:
    record = held(("squat",), spoken(done(("squat", 8))))
    assert "reps-differ" in export(record, "audit.csv")
    assert FINDING_LABELS["reps-differ"] in export(record, "timeline.otio")
    assert Record.from_json(record.to_json()) == record


def test_every_kind_of_difference_is_a_kind_of_finding_with_a_label() -> None:
    assert set(DIFFERENCE_KINDS) < set(get_args(FindingKind))
    assert set(FINDING_LABELS) == set(get_args(FindingKind))
