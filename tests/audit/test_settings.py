"""Every tolerance of the audit is the reader's to change, and the shipped ones are the benchmark's."""

from __future__ import annotations

from pipeline.audit import Settings
from tests.building import counted, findings, kinds, said, timed


def test_the_shipped_limits_are_those_of_the_benchmark() -> None:
    """``tests/bench/FORMAT.md``, "Findings"."""
    shipped = Settings()
    assert (shipped.hold_share, shipped.hold_seconds) == (0.20, 2.0)
    assert (shipped.interval_share, shipped.interval_seconds) == (0.15, 3.0)
    assert (shipped.tempo_share, shipped.half_share) == (0.35, 0.15)


def test_a_hold_may_be_judged_more_strictly_or_more_kindly() -> None:
    strict, kind = Settings(hold_share=0.05, hold_seconds=1.0), Settings(hold_share=0.5)
    assert kinds(findings([timed(20, 23, still=True)], settings=strict)) == ["hold-off-clock"]
    assert findings([timed(20, 23, still=True)]) == []
    assert findings([timed(20, 28, still=True)], settings=kind) == []
    assert kinds(findings([timed(20, 28, still=True)], settings=Settings(hold_seconds=7.5))) == ["hold-off-clock"]
    assert findings([timed(20, 28, still=True)], settings=Settings(hold_seconds=8.0)) == []


def test_an_interval_has_limits_of_its_own() -> None:
    assert findings([timed(30, 39)], settings=Settings(interval_share=0.3)) == []
    assert findings([timed(30, 39)], settings=Settings(interval_seconds=9.0)) == []
    assert kinds(findings([timed(30, 39)], settings=Settings(hold_share=9.0))) == ["interval-off-clock"]
    strict = Settings(interval_share=0.05, interval_seconds=1.0)
    assert kinds(findings([timed(30, 33)], settings=strict)) == ["interval-off-clock"]


def test_a_tempo_may_be_judged_more_strictly_or_more_kindly() -> None:
    work, _ = counted(*[(n, 3.0 * n) for n in range(1, 9)], tempo=(3.0, 1.0))
    assert findings([work]) == []
    assert kinds(findings([work], settings=Settings(tempo_share=0.2))) == ["tempo-off-clock"]


def test_halfway_may_be_judged_more_strictly_or_more_kindly() -> None:
    half = [said(22.0, "half", None, "Halfway")]
    assert findings([timed(30, 30)], half, settings=Settings(half_share=0.25)) == []
    early = [said(13.0, "half", None, "Halfway")]
    assert kinds(findings([timed(30, 30)], early, settings=Settings(half_share=0.04))) == ["halfway-off"]


def test_what_is_left_may_be_said_more_or_less_early() -> None:
    work, numbers = counted((8, 24), (9, 27), (10, 30), (11, 33), (12, 36), left=[(2, 29.2)], target=12)
    assert findings([work], numbers) == []
    strict = Settings(call_early=0.1)
    assert kinds(findings([work], numbers, settings=strict)) == ["remaining-mismatch"]


def test_doubtful_findings_are_left_out_and_can_be_asked_for() -> None:
    work = timed(30, 39, confidence=0.2)
    assert findings([work]) == []
    assert kinds(findings([work], settings=Settings(least_confidence=0.1))) == ["interval-off-clock"]
