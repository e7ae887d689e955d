"""Intervals: how long timed sets took, and what they work to where nothing was announced for one of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.counting.draft import Draft
from pipeline.counting.plan import Plan
from pipeline.counting.targets import INTERVAL_NEAR, choose_interval

#: A timed set's length is taken as announced where the clock shows the same within this many seconds.
SAME_SECONDS = 1.6
#: The same with coarse stamps, between which a word's time may be this far off.
COARSE_SECONDS = 12.0
#: How many timed sets before and after one tell what it works to.
NEAR_SETS = 3


def with_intervals(drafts: Sequence[Draft], plan: Plan) -> list[Draft]:
    """Give timed sets that nothing was announced for the interval that the block works to."""
    out = list(drafts)
    for k, draft in enumerate(drafts):
        length = draft.end - draft.start
        if draft.unit != "seconds" or draft.breaths:
            continue
        own = draft.target
        if own is not None and abs(own - length) <= INTERVAL_NEAR * own:
            continue
        here = choose_interval((), plan.said_before[k], length, ())
        if here is not None:
            out[k] = on_the_clock(replace(draft, target=here), plan.coarse)
            continue
        if own is not None and abs(own - length) <= 0.5 * own:
            continue
        sure = [one.value for one in plan.intervals if one.time < draft.start]
        around = [d.end - d.start for d in _timed_run(drafts, k)]
        value = choose_interval(sure, [*plan.seconds_said, *sure], length, around)
        if value is not None:
            out[k] = on_the_clock(replace(draft, target=value), plan.coarse)
    return out


def on_the_clock(draft: Draft, coarse: bool) -> Draft:
    """Say how long a timed set took; a stretch with no number of seconds about it was not timed."""
    length = draft.end - draft.start
    if draft.target is None and not draft.timed:
        return draft
    if draft.target is not None and abs(length - draft.target) <= (COARSE_SECONDS if coarse else SAME_SECONDS):
        return replace(draft, performed=draft.target)
    return replace(draft, performed=round(length))


def _timed_run(drafts: Sequence[Draft], k: int) -> list[Draft]:
    """Return the timed sets near set ``k`` with no counted set between."""
    first = k
    while first > max(0, k - NEAR_SETS) and drafts[first - 1].unit == "seconds" and not drafts[first - 1].breaths:
        first -= 1
    stop = k + 1
    while stop < min(len(drafts), k + 1 + NEAR_SETS) and drafts[stop].unit == "seconds" and not drafts[stop].breaths:
        stop += 1
    return [draft for draft in drafts[first:stop] if draft is not drafts[k]]
