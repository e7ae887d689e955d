"""Sets: each working stretch of a class with its unit, target, what was done, side, range, tempo and reps."""

from __future__ import annotations

import itertools
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import replace
from statistics import fmean

from pipeline.counting.calls import Call
from pipeline.counting.count import Count, count_reps
from pipeline.counting.decode import Decoded, remains
from pipeline.counting.draft import Draft
from pipeline.counting.intervals import begun_by_the_clock, on_the_clock, told_off_the_clock, with_intervals
from pipeline.counting.neighbours import SPOKEN
from pipeline.counting.plan import Plan, utterance_of
from pipeline.counting.settle import (
    counted_down_aloud,
    fill_in,
    settle_beats,
    settle_countdown,
    settle_pulses,
    settle_reps,
    settle_seconds,
)
from pipeline.counting.targets import Announcement, choose_target
from pipeline.counting.units import TIMED, breathes_on, held_for_breaths, moves_by_the_clock, signs_between, unit_of_set
from pipeline.mentions.hear import Mentions
from pipeline.model import Range

_RANGES: tuple[tuple[str, Range], ...] = (
    ("pulsing", "pulse"), ("lower_range", "lower"), ("upper_range", "upper"), ("full_range", "full"),
)  # fmt: skip


def draft_sets(decoded: Decoded, mentions: Mentions, chapter_firsts: Sequence[int]) -> tuple[list[Draft], Decoded]:
    """Lay out the sets of a class: where they are, which numbers they hold, and what those add up to.

    ``chapter_firsts`` are the utterances that open the chapters, in order, the first one 0.
    Returns the sets, and the reading with its roles settled by what the sets add up to.
    """
    spans = decoded.spans
    inside = _numbers_in(mentions, spans)
    drafts: list[Draft] = []
    plan = Plan(mentions, decoded)
    for s, span in enumerate(spans):
        before = spans[s - 1][1] if s else 0
        chapter = max(0, bisect_right(chapter_firsts, span[0]) - 1)
        gap = (max(before, min(chapter_firsts[chapter], span[0])), span[0])
        first, last = mentions.utterances[span[0]], mentions.utterances[span[1] - 1]
        draft = Draft(span, gap, first.start, last.end, chapter, tuple(inside[s]))
        previous = drafts[-1] if drafts else None
        late = plan.said_at_the_end_of(previous)
        choices = plan.choices(draft, before, previous, late)
        likeliest = max(choices, key=lambda pair: pair[1])[0] if choices else None
        signs = signs_between(
            mentions, min([draft.gap[0], *(utterance_of(mentions, i) for i in late)]), draft.span[0] + 1
        )
        draft = replace(
            draft,
            range=_range(mentions, draft),
            holding="holding" in signs,
            timed=any(decoded.roles[i] in TIMED for i in draft.numbers),
            breaths=held_for_breaths(decoded, mentions, draft) or breathes_on(draft, previous, likeliest),
        )
        draft = replace(draft, unit=unit_of_set(decoded, mentions, draft, likeliest, previous))
        draft = _with_target(decoded, mentions, draft, plan, choices)
        tempo_parts = plan.tempo_parts(chapter_firsts[chapter], span[0])
        decoded = _settle(decoded, mentions, draft, tempo_parts)
        draft = _fill(decoded, mentions, draft)
        draft = replace(draft, tempo=_tempo(decoded, mentions, draft, before), confidence=_confidence(decoded, draft))
        drafts.append(draft)
    drafts = begun_by_the_clock(decoded, mentions, with_intervals(drafts, plan))
    for draft in drafts:
        decoded = decoded.told(told_off_the_clock(decoded, mentions, draft), "clock")
    return drafts, decoded


def _settle(decoded: Decoded, mentions: Mentions, draft: Draft, tempo_parts: int) -> Decoded:
    if draft.announced is not None and decoded.roles[draft.announced] == "other":
        k = draft.announced
        decoded = decoded.with_roles((*decoded.roles[:k], "target", *decoded.roles[k + 1 :]))
    if draft.unit == "seconds":
        decoded = decoded.with_roles(settle_seconds(decoded, mentions, draft.numbers, draft.breaths))
        if moves_by_the_clock(decoded, mentions, draft):
            return decoded.told(counted_down_aloud(decoded, mentions, draft.numbers), "clock")
        return decoded

    def oddities(roles: Sequence[str]) -> float:
        return _count(decoded.with_roles(roles), mentions, draft).oddities

    if draft.range == "pulse":
        decoded = decoded.with_roles(settle_pulses(decoded, mentions, draft.numbers))
    decoded = decoded.with_roles(settle_beats(decoded, draft.numbers, tempo_parts))
    pace = _count(decoded, mentions, draft).pace
    decoded = decoded.with_roles(settle_countdown(decoded, mentions, draft.numbers, pace))
    decoded = decoded.with_roles(fill_in(decoded, mentions, draft.numbers, pace))
    return decoded.with_roles(settle_reps(decoded, mentions, draft.numbers, oddities))


def _with_target(
    decoded: Decoded, mentions: Mentions, draft: Draft, plan: Plan, choices: list[tuple[Announcement, float]]
) -> Draft:
    if draft.unit == "seconds":
        timed = [one for one, chance in choices if one.unit in {"seconds", None} and chance >= 0.3]
        in_seconds = [one for one in timed if one.unit == "seconds"] or timed
        chosen = in_seconds[0] if in_seconds else None
    else:

        def outcome(target: int | None) -> tuple[int | None, bool]:
            count = _count(decoded, mentions, replace(draft, target=target))
            return count.performed, count.called_out

        by_clock, called_out = outcome(None)
        left = [mentions.numbers[i].value for i in draft.numbers if decoded.roles[i] == "left"]

        def possible(one: Announcement) -> bool:
            """What was only carried over is below no number that is left, and as many as a countdown comes to."""
            carried = one.index < 0
            other = by_clock is not None and not called_out and by_clock != one.value
            return one.unit != "seconds" and not (carried and (other or one.value < max(left, default=0)))

        chosen = choose_target([(one, chance) for one, chance in choices if possible(one)], outcome)
    plan.used(draft, chosen)
    if chosen is None:
        return replace(draft, target=None)
    return replace(draft, target=chosen.value, announced=chosen.index if chosen.index >= 0 else None)


def _numbers_in(mentions: Mentions, spans: Sequence[tuple[int, int]]) -> list[list[int]]:
    out: list[list[int]] = [[] for _ in spans]
    for i, one in enumerate(mentions.numbers):
        at = mentions.utterance_of[one.words[0]]
        for s, (first, stop) in enumerate(spans):
            if first <= at < stop:
                out[s].append(i)
    return out


def _range(mentions: Mentions, draft: Draft) -> Range | None:
    """Return the part of the movement that a set keeps to, where it was said as it was set up.

    "Low" and "full" alone say a lot of other things; they count in two words ("lower half") or with a number.
    """
    counted = {n.words[1] for n in mentions.numbers}
    ranges = dict(_RANGES)
    first = mentions.utterances[max(draft.gap[0], draft.span[0] - 4)].first
    stop = mentions.utterances[draft.span[0]].stop
    said = [
        ranges[kind]
        for label, begins, ends in mentions.signs
        if first <= begins < stop
        and (kind := label.removeprefix("talk/")) in ranges
        and (kind == "pulsing" or ends - begins > 1 or begins in counted)
    ]
    return said[-1] if said else None


def _tempo(decoded: Decoded, mentions: Mentions, draft: Draft, before: int) -> tuple[float, ...] | None:
    """The tempo announced before the set: two or more beats in one utterance or two that follow each other."""
    rows: dict[int, list[float]] = {}
    for i, one in enumerate(mentions.numbers):
        at = mentions.utterance_of[one.words[0]]
        if before <= at < draft.span[0] and decoded.roles[i] == "tempo":
            rows.setdefault(at, []).append(one.value)
    lists = [row for row in rows.values() if len(row) >= 2]
    if not lists:
        return None
    beats = lists[0]
    if len(beats) > 2 and beats[0] == draft.target:
        beats = beats[1:]  # "five lowerings, four counts down, two counts up"
    chant = all(b - a in (0, 1) for a, b in itertools.pairwise(beats)) and len(beats) > 3
    return None if chant or len(beats) > 4 else tuple(beats)


def _fill(decoded: Decoded, mentions: Mentions, draft: Draft) -> Draft:
    if draft.unit == "seconds":
        held = any(decoded.roles[i] == "hold" for i in draft.numbers)
        draft = replace(draft, timed=draft.timed or held, counted_still=held)
        if draft.breaths:
            return replace(draft, target=None, performed=None)
        return on_the_clock(draft, mentions.transcript.source.timing == "coarse")
    count = _count(decoded, mentions, draft)
    return replace(draft, performed=count.performed, reps=count.reps, n_of=count.n_of, pace=count.pace)


def _count(decoded: Decoded, mentions: Mentions, draft: Draft) -> Count:
    calls = [
        Call(decoded.roles[i], int(one.value), one.time, i, one.form in SPOKEN and not remains(mentions, one))
        for i in draft.numbers
        if decoded.roles[i] in {"rep", "left"} and (one := mentions.numbers[i]).value >= 1
    ]
    fine = mentions.transcript.source.timing != "coarse"
    return count_reps(calls, draft.target, draft.start, draft.end, None, fine)


def _confidence(decoded: Decoded, draft: Draft) -> float:
    """How sure the set is: its phases' chances, and those of its numbers' roles."""
    phases = decoded.phase_chances[draft.span[0] : draft.span[1]].max(axis=1)
    parts = [float(phases.mean())]
    if draft.numbers:
        parts.append(fmean(float(decoded.role_chances[i].max()) for i in draft.numbers))
    if draft.performed is None:
        parts.append(0.5)
    return round(min(parts), 3)
