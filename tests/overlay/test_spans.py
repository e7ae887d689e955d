"""Every frame shows what is due at its time, and none comes before its rep."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pipeline.overlay.spans import frame_count, spans
from pipeline.publish.counter import counter_states
from tests.publish.example import example_record

RATES = [Fraction(25), Fraction(30), Fraction(24000, 1001), Fraction(30000, 1001), Fraction(1)]


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("name", ["d01", "d02"])
def test_the_spans_hold_every_frame_once(name: str, rate: Fraction) -> None:
    record = example_record(name)
    at = 0
    for span in spans(record, rate):
        assert span.first == at < span.stop
        at = span.stop
    assert at == frame_count(record, rate)
    assert abs(at / rate - record.source.duration) <= 1 / rate


@pytest.mark.parametrize("rate", RATES)
def test_a_frame_shows_the_count_due_at_its_time(rate: Fraction) -> None:
    record = example_record("d02")
    states = counter_states(record)
    for span in spans(record, rate):
        for frame in {span.first, (span.first + span.stop) // 2, span.stop - 1}:
            time = frame / rate
            due = [one for one in states if Fraction(str(one.start)) <= time < Fraction(str(one.end))]
            assert due == ([span.state] if span.state else [])
