"""Whether a whole file is shifted, or made for another frame rate.

A number shown may stand for any moment at which that number is due. For each ratio of two common frame rates
the offsets between what is shown and what is due are gathered; the ratio and offset on which most of the file
agrees is taken, if it explains much more of the file than no shift at all.
"""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.compare.verdicts import TOLERANCE, Shift

RATES = (("23.976", 24000 / 1001), ("24", 24.0), ("25", 25.0), ("29.97", 30000 / 1001), ("30", 30.0))
"""Frames a second in common use (SMPTE ST 12-1 has these and their doubles, from memory)."""

NEAR = 0.25
"""Seconds within which offsets are the same one: under half of TOLERANCE, so that a small drift is seen."""

LEAST_SHARE = 0.5
"""Share of the numbers that have to agree on a shift before a file is said to be shifted."""

LEAST_GAIN = 0.1
"""Share of the numbers that a shift, or a frame rate over a mere offset, has to explain more."""

LEAST_NUMBERS = 8
"""Fewer numbers than this agree by chance."""


def find_shift(pairs: Sequence[tuple[float, Sequence[float]]]) -> Shift:
    """Return the shift of a file; ``pairs`` are times shown, each with the times at which it may be due.

    Times are seconds.
    """
    import numpy as np

    pairs = [(shown, due) for shown, due in pairs if due]
    if len(pairs) < LEAST_NUMBERS:
        return Shift()
    shown = np.repeat([time for time, _ in pairs], [len(due) for _, due in pairs])
    owner = np.repeat(np.arange(len(pairs)), [len(due) for _, due in pairs])
    due = np.concatenate([np.asarray(times, float) for _, times in pairs])
    unshifted = len(set(owner[np.abs(shown - due) <= TOLERANCE]))
    best, best_score = Shift(), (-1.0, 0.0)
    for factor, rates in _factors():
        off = shown - factor * due
        offset = _mode(off)
        inside = np.abs(off - offset) <= NEAR
        # A frame rate is a stronger claim than an offset, and has to explain more. In a short class several
        # ratios explain all of it: the true one does it best.
        explained = len(set(owner[inside])) - LEAST_GAIN * len(pairs) * (rates is not None)
        score = (explained, -round(float(np.mean(np.abs(off[inside] - offset))), 3))
        if score > best_score:
            best_score = score
            best = Shift(factor, round(float(np.median(off[inside])), 3), rates)
    agreed = best_score[0] + LEAST_GAIN * len(pairs) * (best.rates is not None)
    enough = agreed >= LEAST_SHARE * len(pairs) and agreed >= unshifted + LEAST_GAIN * len(pairs)
    if best.rates is None and abs(best.offset) <= TOLERANCE:
        return Shift()
    return best if enough else Shift()


def _factors() -> list[tuple[float, tuple[str, str] | None]]:
    """Return the ratios of two frame rates, each once, with the rates that give it; 1 comes first."""
    factors: dict[float, tuple[float, tuple[str, str] | None]] = {1.0: (1.0, None)}
    for made, made_rate in RATES:
        for needed, needed_rate in RATES:
            # The frames of a film are at other times where a file takes it to be of another rate.
            factor = needed_rate / made_rate
            factors.setdefault(round(factor, 6), (factor, (made, needed)))
    return list(factors.values())


def _mode(offsets: object) -> float:
    """Return the middle of the stretch, 2 * NEAR wide, that holds most of the offsets."""
    import numpy as np

    ordered = np.sort(np.asarray(offsets, float))
    held = np.searchsorted(ordered, ordered + 2 * NEAR, side="right") - np.arange(len(ordered))
    first = int(np.argmax(held))
    return float(np.median(ordered[first : first + held[first]]))
