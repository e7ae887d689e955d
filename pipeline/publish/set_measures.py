"""What a row of the audit says of a set, worked out once for the table and the report."""

from __future__ import annotations

from pipeline.model import Finding, Record, WorkSet


def called_reps(one: WorkSet) -> int:
    """Return how many of the set's reps had their number spoken."""
    return sum(rep.called for rep in one.reps)


def seconds_a_rep(one: WorkSet) -> float | None:
    """Return the mean time from one rep to the next in seconds; ``None`` under two reps.

    The time between the first and the last rep counts, not the set's own: before the first rep there is
    often talk.
    """
    reps = sorted(one.reps, key=lambda rep: rep.time)
    if one.unit != "reps" or len(reps) < 2 or reps[-1].n <= reps[0].n:
        return None
    return (reps[-1].time - reps[0].time) / (reps[-1].n - reps[0].n)


def findings_of(record: Record, index: int) -> tuple[Finding, ...]:
    """Return the findings of one set in rising order of time."""
    return tuple(sorted((f for f in record.findings if f.set == index), key=lambda f: f.time))


def tempo_text(tempo: tuple[float, ...] | None) -> str:
    """Return a tempo as it is written in the trade: ``3-1-1``, seconds in the order announced."""
    return "" if tempo is None else "-".join(f"{beat:g}" for beat in tempo)
