"""The counter shows each rep from the moment it is done."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from itertools import pairwise
from typing import Any

import jsonschema
import pytest

from pipeline.model import Finding, Number, Record, Rep, WorkSet
from pipeline.publish import counter_csv, counter_webvtt
from pipeline.publish.counter import counter_states
from tests.publish.example import example_record
from tests.publish.records import NAMES, record_of


def class_with(*sets: WorkSet, numbers: tuple[Number, ...] = ()) -> Record:
    return replace(example_record(), sets=sets, numbers=numbers, findings=())


def work(start: float, end: float, **fields: Any) -> WorkSet:
    base = WorkSet(0, "row", "row", None, None, "reps", start, end, None, None, None, None, 0.9)
    return replace(base, **fields)


def shown(record: Record) -> list[tuple[float, float, int, bool]]:
    return [(one.start, one.end, one.n, one.called) for one in counter_states(record)]


def texts(record: Record) -> list[str]:
    return [one.text for one in counter_states(record)]


def test_a_rep_shows_until_the_next() -> None:
    reps = (Rep(1, 12.0, True), Rep(2, 15.0, False), Rep(3, 18.0, True))
    record = class_with(work(10, 19, target=4, side="left", reps=reps))
    assert shown(record) == [(10, 12, 0, False), (12, 15, 1, True), (15, 18, 2, False), (18, 19.5, 3, True)]
    assert texts(record) == ["0 / 4", "1 / 4", "2 / 4", "3 / 4"]


def test_the_track_says_all_of_a_count_as_json() -> None:
    reps = (Rep(1, 12.0, True), Rep(2, 15.0, False))
    record = class_with(work(10, 19, target=4, side="left", round=2, reps=reps))
    assert json.loads(counter_webvtt.write(record).splitlines()[-1]) == {
        "exercise": "row", "side": "left", "range": None, "round": 2, "unit": "reps", "n": 2, "target": 4,
        "left": 2, "called": False, "text": "2 / 4", "findings": [], "set": 0,
    }  # fmt: skip


@pytest.mark.parametrize("name", [name for name in NAMES if not name.endswith(("words", "gold"))])
def test_every_payload_keeps_to_the_schema(name: str) -> None:
    """JSON Schema draft 2020-12, checked by the library jsonschema."""
    jsonschema.Draft202012Validator.check_schema(counter_webvtt.SCHEMA)
    check = jsonschema.Draft202012Validator(counter_webvtt.SCHEMA)
    lines = [line for line in counter_webvtt.write(record_of(name)).splitlines() if line[:1] == "{"]
    assert lines
    for line in lines:
        check.validate(json.loads(line))


def test_a_name_with_angles_cannot_break_the_track() -> None:
    record = class_with(work(0, 4, exercise_name="press --> <b>up", reps=(Rep(1, 1, True),)))
    payload = counter_webvtt.write(record).splitlines()[-1]
    assert "<" not in payload
    assert "-->" not in payload
    assert json.loads(payload)["exercise"] == "press --> <b>up"


def test_more_than_announced_shows_the_reps_done() -> None:
    record = class_with(work(0, 4, target=1, reps=(Rep(1, 1, True), Rep(2, 3, True))))
    assert texts(record) == ["0 / 1", "1 / 1", "2 / 1"]
    assert [one.left for one in counter_states(record)] == [1, 0, 0]


def test_a_target_that_nobody_said_is_not_shown() -> None:
    record = class_with(work(0, 4, reps=(Rep(1, 1, True),)))
    assert texts(record) == ["0", "1"]
    assert all(one.left is None for one in counter_states(record))


def test_reps_that_nobody_can_tell_are_not_counted() -> None:
    """A set that is announced and done without a word shows what was announced, and one without that nothing."""
    record = class_with(work(0, 4, target=12), work(10, 14))
    (state,) = counter_states(record)
    assert (state.text, state.n, state.left) == ("12 reps", None, None)
    assert json.loads(counter_webvtt.write(record).splitlines()[-1])["n"] is None


def test_a_presenter_who_counts_down_gets_what_is_left() -> None:
    said = tuple(Number(10 + i, "", 3 - i, "left", 3 - i, 0, 0.9, (0, 1)) for i in range(3))
    reps = tuple(Rep(n, 9.0 + n, True) for n in (1, 2, 3, 4))
    record = class_with(work(9, 14, target=3, reps=reps), numbers=said)
    assert texts(record) == ["3 left", "2 left", "1 left", "0 left", "4 / 3"]


def test_the_picture_shows_reps_done_and_flags_the_number_said() -> None:
    """The presenter calls "seven" for the sixth rep: the rep's own number stands."""
    said = Number(12.0, "seven", 7, "rep", 7, 0, 0.9, (0, 1))
    slip = Finding("skipped-count", 12.0, 0, "seven", "six", "Six is skipped.", 0.9, (0, 1))
    reps = (Rep(5, 10.0, True), Rep(6, 12.0, True), Rep(7, 14.0, True))
    record = replace(class_with(work(8, 15, target=8, reps=reps), numbers=(said,)), findings=(slip,))
    assert texts(record) == ["0 / 8", "5 / 8", "6 / 8", "7 / 8"]
    assert [one.findings for one in counter_states(record)] == [(), (), ("skipped-count",), ()]


def test_a_timed_set_counts_its_seconds() -> None:
    called = Number(12.4, "two", 2, "hold", 2, 0, 0.9, (0, 1))
    record = class_with(work(10, 14.5, unit="seconds", target=5), numbers=(called,))
    assert shown(record) == [
        (10, 11, 0, False), (11, 12, 1, False), (12, 13, 2, True), (13, 14, 3, False), (14, 15.5, 4, False),
    ]  # fmt: skip


def test_the_next_set_takes_over_at_once() -> None:
    record = class_with(work(0, 10, reps=(Rep(1, 9.9, True),)), work(10.2, 20, reps=(Rep(1, 12, True),)))
    assert shown(record)[1][:2] == (9.9, 10.2)
    assert shown(record)[2][0] == 10.2


def test_a_first_rep_that_the_clock_places_before_its_set_takes_over_too() -> None:
    record = class_with(
        work(0, 10, reps=(Rep(1, 4, True),)), work(10, 20, reps=(Rep(1, 8, False, 0.5), Rep(2, 12, True)))
    )
    assert shown(record) == [
        (0, 4, 0, False), (4, 8, 1, True), (8, 12, 1, False), (12, 20, 2, True),
    ]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_every_rep_of_a_class_is_shown_once_at_its_time(name: str) -> None:
    record = record_of(name)
    states = counter_states(record)
    assert all(one.start < one.end <= after.start for one, after in pairwise(states))
    for index, one in enumerate(record.sets):
        own = [state for state in states if state.set == index]
        if one.unit == "reps":
            wanted = [(rep.n, round(rep.time, 3), rep.called) for rep in one.reps]
            assert [(state.n, state.start, state.called) for state in own if state.n] == wanted
        else:
            assert [state.n for state in own] == list(range(int(round(one.end - one.start, 3)) + 1))


@pytest.mark.parametrize("name", NAMES)
def test_what_does_not_add_up_is_flagged_once_at_its_set(name: str) -> None:
    record = record_of(name)
    states = counter_states(record)
    for index in range(len(record.sets)):
        flagged = [kind for state in states if state.set == index for kind in state.findings]
        wanted = [finding.kind for finding in record.findings if finding.set == index]
        assert sorted(flagged) == sorted(wanted)


@pytest.mark.parametrize("name", NAMES)
def test_the_table_says_what_the_states_say(name: str) -> None:
    record = record_of(name)
    rows = list(csv.DictReader(io.StringIO(counter_csv.write(record))))
    states = counter_states(record)
    assert [(float(row["start"]), float(row["end"]), row["text"]) for row in rows] == [
        (one.start, one.end, one.text) for one in states
    ]
    assert [row["called"] == "yes" for row in rows] == [one.called for one in states]
    assert [int(row["set"]) for row in rows] == [one.set + 1 for one in states]
