"""What does not add up: one small function a kind of finding.

Each check takes a :class:`~pipeline.audit.evidence.Class` and the :class:`~pipeline.audit.settings.Settings`
and yields findings. ``audit`` runs them all. To add a check, write such a function, and name it in ``CHECKS``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from pipeline.audit import clock_checks, count_checks, missing_rounds, remaining_checks, round_checks
from pipeline.audit.evidence import Class
from pipeline.audit.settings import Settings
from pipeline.model import Chapter, Finding, Number, Transcript, WorkSet

__all__ = ["CHECKS", "Settings", "audit"]

Check = Callable[[Class, Settings], Iterable[Finding]]

CHECKS: tuple[Check, ...] = (
    count_checks.skipped_count,
    count_checks.repeated_count,
    count_checks.over_or_under_target,
    remaining_checks.remaining_mismatch,
    round_checks.side_imbalance,
    round_checks.round_mismatch,
    missing_rounds.rounds_missing,
    clock_checks.hold_or_interval_off_clock,
    clock_checks.tempo_off_clock,
    clock_checks.halfway_off,
)


def audit(
    transcript: Transcript,
    chapters: Sequence[Chapter],
    sets: Sequence[WorkSet],
    numbers: Sequence[Number],
    settings: Settings | None = None,
) -> list[Finding]:
    """Run every check; return the findings that are sure enough, in order of time."""
    settings = settings or Settings()
    one = Class(transcript, tuple(chapters), tuple(sets), tuple(numbers))
    found = [finding for check in CHECKS for finding in check(one, settings)]
    sure = [finding for finding in found if finding.confidence >= settings.least_confidence]
    rounded = [replace(f, time=round(f.time, 3), confidence=round(f.confidence, 3)) for f in sure]
    return sorted(rounded, key=lambda f: (f.time, f.kind))
