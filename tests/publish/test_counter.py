"""The counter shows each rep from the moment it is done."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from pipeline.model import Number, Record, Rep, WorkSet
from pipeline.publish.counter import counter_cues
from tests.publish.example import example_record


def class_with(*sets: WorkSet, numbers: tuple[Number, ...] = ()) -> Record:
    return replace(example_record(), sets=sets, numbers=numbers, findings=())


def work(start: float, end: float, **fields: Any) -> WorkSet:
    base = WorkSet(0, "row", "row", None, None, "reps", start, end, None, None, None, None, 0.9)
    return replace(base, **fields)


def shown(record: Record) -> list[tuple[float, float, int, bool]]:
    cues = [(cue.start, cue.end, json.loads(cue.payload)) for cue in counter_cues(record)]
    return [(start, end, value["n"], value["called"]) for start, end, value in cues]


def test_a_rep_shows_until_the_next() -> None:
    reps = (Rep(1, 12.0, True), Rep(2, 15.0, False), Rep(3, 18.0, True))
    record = class_with(work(10, 19, target=4, side="left", reps=reps))
    assert shown(record) == [(10, 12, 0, False), (12, 15, 1, True), (15, 18, 2, False), (18, 19.5, 3, True)]
    value = json.loads(counter_cues(record)[-1].payload)
    assert value == {
        "exercise": "row", "side": "left", "range": None, "round": None, "unit": "reps", "n": 3, "target": 4,
        "left": 1, "called": True, "set": 0,
    }  # fmt: skip


def test_more_than_announced_leaves_none_to_do() -> None:
    record = class_with(work(0, 4, target=1, reps=(Rep(1, 1, True), Rep(2, 3, True))))
    assert [json.loads(cue.payload)["left"] for cue in counter_cues(record)] == [1, 0, 0]


def test_a_target_that_nobody_said_is_null() -> None:
    values = [json.loads(c.payload) for c in counter_cues(class_with(work(0, 4, reps=(Rep(1, 1, True),))))]
    assert all(value["target"] is None and value["left"] is None for value in values)


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


@pytest.mark.parametrize("name", ["d01", "d03", "d07"])
def test_every_rep_of_a_class_is_shown_once_and_in_order(name: str) -> None:
    record = example_record(name)
    values = [json.loads(cue.payload) for cue in counter_cues(record)]
    for index, one in enumerate(record.sets):
        counted = [value["n"] for value in values if value["set"] == index]
        if one.unit == "reps":
            assert [n for n in counted if n] == [rep.n for rep in one.reps]
        else:
            assert counted == list(range(int(round(one.end - one.start, 3)) + 1))
