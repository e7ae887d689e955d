"""Intervals: how long timed sets took, and what they work to where nothing was announced for one of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.counting.decode import Decoded
from pipeline.counting.draft import Draft
from pipeline.counting.neighbours import SPOKEN
from pipeline.counting.phases import PHASES
from pipeline.counting.plan import Plan, utterance_of
from pipeline.counting.targets import INTERVAL_NEAR, choose_interval
from pipeline.mentions.hear import Mentions

#: A timed set's length is taken as announced where the clock shows the same within this many seconds.
SAME_SECONDS = 1.6
#: The same with coarse stamps, between which a word's time may be this far off.
COARSE_SECONDS = 12.0
#: How many timed sets before and after one tell what it works to.
NEAR_SETS = 3
#: Who works to a clock starts by it: the first word of a set is this close (s) to its announced time before its end.
ON_TIME = 0.35
#: A start that was read this surely (0 to 1) stands, whatever the clock says.
SURE_START = 0.97
#: What is said within a set is its start where that is not ruled out; talk that happens to be on time has less.
MAYBE_START = 0.015
#: A set is begun earlier only where at least this share of its time was found.
MOST_OF_IT = 0.4
#: The clock shows a number that is called within this many seconds of it. Fewer than so many are counted, not called.
SHOWN, FEWEST = 1.0, 5
#: A number this likely (0 to 1) to tell the time, though likelier talk, does where it is what the clock shows.
MAYBE_CLOCK = 0.02
_TALK = frozenset({"other", "target"})


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


def begun_by_the_clock(decoded: Decoded, mentions: Mentions, drafts: Sequence[Draft]) -> list[Draft]:
    """Let timed sets begin where the time announced for them, back from their end, says that they did.

    A start is the hardest thing to hear: "work", "there it is" among talk. Where it was not read surely, and somebody
    begins to speak just when the time would begin, it is that. A set that is off its clock has nothing said there.
    """
    if mentions.transcript.source.timing == "coarse":
        return list(drafts)
    out: list[Draft] = []
    for draft in drafts:
        first = _first_by_the_clock(decoded, mentions, draft, out[-1].span[1] if out else 0)
        out.append(draft if first is None else _begun_at(mentions, draft, first))
    return out


def told_off_the_clock(decoded: Decoded, mentions: Mentions, draft: Draft) -> list[int]:
    """Return which numbers of a timed set, taken for talk, are just the seconds gone by then or those left.

    "Seventeen seconds, if you're asking" tells the time, where the clock shows that, and no chain rules it out.
    """
    if draft.unit != "seconds" or draft.target is None or mentions.transcript.source.timing == "coarse":
        return []
    column, out = decoded.labels.index("clock"), []
    for i in draft.numbers:
        one = mentions.numbers[i]
        gone = one.time - draft.start
        shown = min(abs(gone - one.value), abs(draft.target - gone - one.value)) <= SHOWN
        talk = decoded.roles[i] in _TALK and one.form in SPOKEN and i != draft.announced
        if talk and shown and FEWEST <= one.value < draft.target and decoded.role_chances[i, column] >= MAYBE_CLOCK:
            out.append(i)
    return out


def _first_by_the_clock(decoded: Decoded, mentions: Mentions, draft: Draft, before: int) -> int | None:
    """Return the utterance that starts a set by its clock, if another one than the first does."""
    first, stop = draft.span
    target, length = draft.target, draft.end - draft.start
    if draft.unit != "seconds" or target is None or draft.breaths or abs(length - target) <= SAME_SECONDS:
        return None
    starts = decoded.phase_chances[:, PHASES.index("begin")]
    due = draft.end - target
    if length > target:
        on_time = [k for k in range(first + 1, stop) if abs(mentions.utterances[k].start - due) <= ON_TIME]
        return next((k for k in on_time if starts[k] >= MAYBE_START), None)
    if length < MOST_OF_IT * target or starts[first] >= SURE_START:
        return None
    counted = {utterance_of(mentions, i) for i in range(len(mentions.numbers)) if decoded.roles[i] != "none"}
    earlier = range(max(before, draft.gap[0]), first)
    return next((k for k in earlier if abs(mentions.utterances[k].start - due) <= ON_TIME and k not in counted), None)


def _begun_at(mentions: Mentions, draft: Draft, first: int) -> Draft:
    span = (first, draft.span[1])
    numbers = tuple(i for i in range(len(mentions.numbers)) if span[0] <= utterance_of(mentions, i) < span[1])
    begun = replace(
        draft, span=span, gap=(draft.gap[0], first), start=mentions.utterances[first].start, numbers=numbers
    )
    return on_the_clock(begun, coarse=False)


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
