"""Working stretches: where the phases of a class say that a set is going on."""

from __future__ import annotations

from collections.abc import Sequence


def work_spans(phases: Sequence[str]) -> list[tuple[int, int]]:
    """Return the working stretches, as ranges of utterances."""
    spans: list[tuple[int, int]] = []
    for at, phase in enumerate(phases):
        if phase == "begin" or (phase == "work" and (not spans or spans[-1][1] != at)):
            spans.append((at, at + 1))
        elif phase == "work":
            spans[-1] = (spans[-1][0], at + 1)
    return spans
