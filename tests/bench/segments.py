"""Chapter starts as the text segmentation libraries take them, with the two window scores.

Text segmentation is scored over a row of equal units; here a unit is a second of the class. A boundary is a
gap between two units, so a class of N seconds has N - 1 possible boundaries. NLTK takes a string with a
character a gap (``"1"`` where a chapter starts), segeval takes *masses*, every chapter's length in units.

Pk: Beeferman, Berger and Lafferty, "Statistical Models for Text Segmentation" (Machine Learning 34, 1999).
WindowDiff: Pevzner and Hearst, "A Critique and Improvement of an Evaluation Metric for Text Segmentation"
(Computational Linguistics 28, 2002). Both are error rates from 0 (the same chapters) to 1.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import ceil
from typing import Any

#: No window is narrower than this many units: a window of one sees no near miss (segeval's rule too).
NARROWEST_WINDOW = 2


def boundaries(chapters: Sequence[Mapping[str, Any]]) -> list[float]:
    """Return the starts (s) that the scorer counts: of all chapters but the first (given) and rests."""
    return [float(one["start"]) for one in chapters[1:] if one["kind"] != "rest"]


def boundary_string(starts: Sequence[float], duration: float) -> str:
    """Return NLTK's form: a character a gap between two seconds, ``"1"`` where a chapter starts."""
    cuts = _cuts(starts, duration)
    return "".join("1" if gap in cuts else "0" for gap in range(1, _units(duration)))


def masses(starts: Sequence[float], duration: float) -> tuple[int, ...]:
    """Return segeval's form: the length of every chapter in whole seconds."""
    edges = [0, *sorted(_cuts(starts, duration)), _units(duration)]
    return tuple(b - a for a, b in pairwise(edges))


def window(gold_starts: Sequence[float], duration: float) -> int:
    """Return the customary width of the sliding window: half the mean gold chapter, in seconds."""
    return max(NARROWEST_WINDOW, round(_units(duration) / len(masses(gold_starts, duration)) / 2))


def window_scores(gold: Sequence[float], found: Sequence[float], duration: float) -> dict[str, float]:
    """Return ``pk`` and ``window_diff`` of found chapter starts (s) against gold ones, by NLTK."""
    from nltk.metrics.segmentation import pk, windowdiff

    width = window(gold, duration)
    rows = boundary_string(gold, duration), boundary_string(found, duration)
    return {"pk": float(pk(*rows, k=width)), "window_diff": float(windowdiff(*rows, k=width))}


def _units(duration: float) -> int:
    return max(2, ceil(duration))


def _cuts(starts: Sequence[float], duration: float) -> set[int]:
    """Return each start's nearest gap; one outside the class goes to the gap nearest to it."""
    last = _units(duration) - 1
    return {min(last, max(1, round(start))) for start in starts}
