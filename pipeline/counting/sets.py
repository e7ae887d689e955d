"""Sets: each working stretch of a class with its unit, target, what was done, side, range, tempo and reps."""

from __future__ import annotations

import itertools
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from statistics import fmean

from pipeline.counting.count import Call, Count, count_reps
from pipeline.counting.decode import Decoded
from pipeline.counting.settle import fill_in, settle_beats, settle_pulses, settle_reps, settle_seconds
from pipeline.counting.targets import (
    FOR_BOTH_SIDES,
    INTERVAL_NEAR,
    LEAST_CHANCE,
    ONE_BREATH,
    WAITING,
    Announcement,
    announcements,
    choose_interval,
    choose_target,
    lasts_each,
    unit_of,
)
from pipeline.mentions.hear import Mentions
from pipeline.model import Range, Rep, Side, Unit

#: A timed set's length is taken as announced where the clock shows the same within this many seconds.
SAME_SECONDS = 1.6
#: The same with coarse stamps, between which a word's time may be this far off.
COARSE_SECONDS = 12.0
_RANGES: tuple[tuple[str, Range], ...] = (
    ("pulsing", "pulse"), ("lower_range", "lower"), ("upper_range", "upper"), ("full_range", "full"),
)  # fmt: skip
#: How many timed sets before and after one tell what it works to.
NEAR_SETS = 3
#: "Hold" this many words or fewer before "for eight" says that the eight are seconds.
HOLD_REACH = 7
_CALLS = frozenset({"rep", "left", "hold", "clock"})
_WORKING = frozenset({"begin", "work"})
#: What is announced in the welcome or in a rest is a plan for several sets.
_PLANNED = frozenset({"intro", "resting", "rest"})
_HOLDING = frozenset({"hold", "holding", "freeze", "balance", "stay", "keep"})
_TIMED = frozenset({"hold", "clock"})


@dataclass(frozen=True)
class Draft:
    """A set before its exercise is known. ``span`` and ``gap`` are utterance ranges: the set, the talk before.

    ``numbers`` are the indices of the numbers in the span, ``n_of`` what a call stands for.
    """

    span: tuple[int, int]
    gap: tuple[int, int]
    start: float
    end: float
    chapter: int
    numbers: tuple[int, ...]
    unit: Unit = "reps"
    target: int | None = None
    performed: int | None = None
    side: Side | None = None
    range: Range | None = None
    tempo: tuple[float, ...] | None = None
    round: int | None = None
    reps: tuple[Rep, ...] = ()
    n_of: dict[int, int] = field(default_factory=dict)
    confidence: float = 0.5
    holding: bool = False
    pace: float | None = None
    breaths: bool = False
    timed: bool = False
    counted_still: bool = False
    announced: int | None = None


def draft_sets(decoded: Decoded, mentions: Mentions, chapter_firsts: Sequence[int]) -> tuple[list[Draft], Decoded]:
    """Lay out the sets of a class: where they are, which numbers they hold, and what those add up to.

    ``chapter_firsts`` are the utterances that open the chapters, in order, the first one 0.
    Returns the sets, and the reading with its roles settled by what the sets add up to.
    """
    spans = decoded.spans
    inside = _numbers_in(mentions, spans)
    drafts: list[Draft] = []
    plan = _Plan(mentions, decoded)
    for s, span in enumerate(spans):
        before = spans[s - 1][1] if s else 0
        chapter = max(0, bisect_right(chapter_firsts, span[0]) - 1)
        gap = (max(before, min(chapter_firsts[chapter], span[0])), span[0])
        first, last = mentions.utterances[span[0]], mentions.utterances[span[1] - 1]
        draft = Draft(span, gap, first.start, last.end, chapter, tuple(inside[s]))
        previous = drafts[-1] if drafts else None
        choices = plan.choices(draft, before, previous)
        likeliest = max(choices, key=lambda pair: pair[1])[0] if choices else None
        late = plan.said_at_the_end_of(previous)
        signs = _signs(mentions, min([draft.gap[0], *(_at(mentions, i) for i in late)]), draft.span[0] + 1)
        draft = replace(
            draft,
            range=_range(mentions, draft),
            holding="holding" in signs,
            timed=any(decoded.roles[i] in _TIMED for i in draft.numbers),
            breaths=_breaths(decoded, mentions, draft) or _breathes_on(draft, previous, likeliest),
        )
        draft = replace(draft, unit=_unit(decoded, mentions, draft, likeliest, previous))
        draft = _with_target(decoded, mentions, draft, plan, choices)
        decoded = replace(
            decoded, roles=_settle(decoded, mentions, draft, plan.tempo_parts(chapter_firsts[chapter], span[0]))
        )
        draft = _fill(decoded, mentions, draft)
        draft = replace(draft, tempo=_tempo(decoded, mentions, draft, before), confidence=_confidence(decoded, draft))
        drafts.append(draft)
    return _with_intervals(drafts, plan), decoded


def _settle(decoded: Decoded, mentions: Mentions, draft: Draft, tempo_parts: int) -> tuple[str, ...]:
    if draft.announced is not None and decoded.roles[draft.announced] == "other":
        k = draft.announced
        decoded = replace(decoded, roles=(*decoded.roles[:k], "target", *decoded.roles[k + 1 :]))
    if draft.unit == "seconds":
        return settle_seconds(decoded, mentions, draft.numbers, draft.breaths)

    def oddities(roles: Sequence[str]) -> float:
        return _count(replace(decoded, roles=tuple(roles)), mentions, draft).oddities

    if draft.range == "pulse":
        decoded = replace(decoded, roles=settle_pulses(decoded, mentions, draft.numbers))
    decoded = replace(decoded, roles=settle_beats(decoded, draft.numbers, tempo_parts))
    decoded = replace(decoded, roles=fill_in(decoded, mentions, draft.numbers, _count(decoded, mentions, draft).pace))
    return settle_reps(decoded, mentions, draft.numbers, oddities)


def _with_target(
    decoded: Decoded, mentions: Mentions, draft: Draft, plan: _Plan, choices: list[tuple[Announcement, float]]
) -> Draft:
    if draft.unit == "seconds":
        timed = [one for one, chance in choices if one.unit in {"seconds", None} and chance >= 0.3]
        in_seconds = [one for one in timed if one.unit == "seconds"] or timed
        chosen = in_seconds[0] if in_seconds else None
    else:

        def outcome(target: int | None) -> tuple[int | None, bool]:
            count = _count(decoded, mentions, replace(draft, target=target))
            return count.performed, count.called_out

        chosen = choose_target([(a, c) for a, c in choices if a.unit != "seconds"], outcome)
    plan.used(draft, chosen)
    if chosen is None:
        return replace(draft, target=None)
    return replace(draft, target=chosen.value, announced=chosen.index if chosen.index >= 0 else None)


def _with_intervals(drafts: Sequence[Draft], plan: _Plan) -> list[Draft]:
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
            out[k] = _time(replace(draft, target=here), plan.coarse)
            continue
        if own is not None and abs(own - length) <= 0.5 * own:
            continue
        sure = [one.value for one in plan.intervals if one.time < draft.start]
        around = [d.end - d.start for d in _timed_run(drafts, k)]
        value = choose_interval(sure, [*plan.seconds_said, *sure], length, around)
        if value is not None:
            out[k] = _time(replace(draft, target=value), plan.coarse)
    return out


def _timed_run(drafts: Sequence[Draft], k: int) -> list[Draft]:
    """Return the timed sets near set ``k`` with no counted set between."""
    first = k
    while first > max(0, k - NEAR_SETS) and drafts[first - 1].unit == "seconds" and not drafts[first - 1].breaths:
        first -= 1
    stop = k + 1
    while stop < min(len(drafts), k + 1 + NEAR_SETS) and drafts[stop].unit == "seconds" and not drafts[stop].breaths:
        stop += 1
    return [draft for draft in drafts[first:stop] if draft is not drafts[k]]


def _numbers_in(mentions: Mentions, spans: Sequence[tuple[int, int]]) -> list[list[int]]:
    out: list[list[int]] = [[] for _ in spans]
    for i, one in enumerate(mentions.numbers):
        at = mentions.utterance_of[one.words[0]]
        for s, (first, stop) in enumerate(spans):
            if first <= at < stop:
                out[s].append(i)
    return out


def _at(mentions: Mentions, i: int) -> int:
    """Return the utterance of number ``i``."""
    return mentions.utterance_of[mentions.numbers[i].words[0]]


class _Plan:
    """Keeps what was announced, and offers each set the announcements that it may work to."""

    def __init__(self, mentions: Mentions, decoded: Decoded) -> None:
        self.mentions, self.decoded = mentions, decoded
        self.target_column = decoded.labels.index("target")
        self.coarse = mentions.transcript.source.timing == "coarse"
        self.waiting: list[Announcement] = []
        self.waiting_chapter = -1
        self.each_side = False
        self.intervals: list[Announcement] = []
        self.seconds_said: list[int] = []
        self.said_before: list[list[int]] = []
        self._breath: list[Announcement] = []

    def choices(self, draft: Draft, before: int, previous: Draft | None) -> list[tuple[Announcement, float]]:
        """Return the announcements that a set may work to, each with its chance, the likeliest reading first."""
        mentions, roles = self.mentions, self.decoded.roles
        if draft.chapter != self.waiting_chapter:
            self.waiting, self.waiting_chapter, self.each_side = [], draft.chapter, False
        calls_from = next((i for i in draft.numbers if roles[i] in _CALLS), None)
        new = [
            i for i, one in enumerate(mentions.numbers)
            if before <= (at := mentions.utterance_of[one.words[0]]) < draft.span[1]
            and (at < draft.span[0] or calls_from is None or i < calls_from)
        ]  # fmt: skip
        new = self.said_at_the_end_of(previous) + new
        sure = [i for i in new if roles[i] == "target"]
        found = announcements(mentions, sure)
        phases = self.decoded.phases
        self.intervals += [a for i in sure for a in announcements(mentions, [i]) if a.unit == "seconds"]
        other = [i for i in new if roles[i] == "other" and unit_of(mentions, mentions.numbers[i]) == "seconds"]
        self.said_before.append(
            [int(mentions.numbers[i].value) for i in other if phases[_at(mentions, i)] not in _PLANNED]
        )
        self.seconds_said += [int(mentions.numbers[i].value) for i in other]
        own = [a for a in found if phases[_at(mentions, a.index)] not in _PLANNED]
        self._breath = _last_breath(own)
        out = [(a, self._chance(a)) for a in self._breath[:1]]
        out += [(a, 0.35 * self._chance(a)) for a in self._breath[1:]]
        out += [(a, 0.25 * self._chance(a)) for a in own if a not in self._breath]
        if not self._breath:
            out += [(a, WAITING if k == 0 else 0.1) for k, a in enumerate(self.waiting)]
        elif self.waiting:
            out.append((self.waiting[0], 0.15))
        if previous is not None and previous.chapter == draft.chapter and previous.target is not None:
            share = FOR_BOTH_SIDES if self.each_side and not self._breath else 0.02
            carried = Announcement(previous.target, previous.unit, True, -1, draft.start)
            out.append((carried, share))
        doubtful = [
            i for i in new if i not in sure and self.decoded.role_chances[i, self.target_column] >= LEAST_CHANCE
        ]
        out += [(a, self._chance(a)) for a in announcements(mentions, doubtful)]
        return out

    def said_at_the_end_of(self, previous: Draft | None) -> list[int]:
        """Return the targets said as a set ends, after its last call: they are for the set that follows."""
        roles = self.decoded.roles
        calls = [i for i in previous.numbers if roles[i] in _CALLS] if previous is not None else []
        return [i for i in previous.numbers if i > calls[-1] and roles[i] == "target"] if previous and calls else []

    def used(self, draft: Draft, chosen: Announcement | None) -> None:
        """Note what a set works to; what was announced in the same breath waits for the sets after it."""
        if chosen is None:
            return
        if chosen in self._breath:
            k = self._breath.index(chosen)
            self.waiting = self._breath[k + 1 :]
            self.each_side = chosen.each_side
        elif chosen in self.waiting:
            self.waiting = self.waiting[self.waiting.index(chosen) + 1 :]

    def tempo_parts(self, first: int, stop: int) -> int:
        """Return how many numbers of a tempo were announced, outside sets, from utterance ``first`` to ``stop``."""
        roles, phases = self.decoded.roles, self.decoded.phases
        talk = [
            _at(self.mentions, i)
            for i, role in enumerate(roles)
            if role == "tempo" or (role == "target" and lasts_each(self.mentions, self.mentions.numbers[i]))
        ]
        return sum(first <= at < stop and phases[at] not in _WORKING for at in talk)

    def _chance(self, one: Announcement) -> float:
        return float(self.decoded.role_chances[one.index, self.target_column])


def _last_breath(own: list[Announcement]) -> list[Announcement]:
    """Return the announcements that were made last, in one breath."""
    breath = own[-1:]
    for one in reversed(own[:-1]):
        if breath[0].time - one.time > ONE_BREATH:
            break
        breath.insert(0, one)
    return breath


def _unit(
    decoded: Decoded, mentions: Mentions, draft: Draft, announced: Announcement | None, previous: Draft | None
) -> Unit:
    roles = [decoded.roles[i] for i in draft.numbers]
    calls = sum(role in {"rep", "left"} for role in roles)
    timed = sum(role in _TIMED for role in roles)
    said = announced.unit if announced is not None else None
    if draft.breaths:
        return "seconds"
    if said is None and announced is not None and announced.index >= 0 and _held_for(mentions, announced):
        return "seconds"
    if said == "seconds":
        return "reps" if calls >= 2 and calls > timed and "rep" in roles else "seconds"
    if announced is not None and previous is not None and _held_again(draft, announced, previous):
        return "seconds"
    if draft.range == "pulse" and timed and not draft.holding:
        return "reps"
    if calls and not ("rep" not in roles and timed >= calls):
        return "reps"
    if said == "reps":
        return "reps"
    if timed:
        return "seconds"
    signs = _signs(mentions, draft.gap[0], draft.span[0] + 1)
    if "holding" in signs and "reps" not in signs:
        return "seconds"
    if previous is not None and previous.unit == "seconds" and announced is None:
        return "seconds"
    return "reps"


def _held_again(draft: Draft, announced: Announcement, previous: Draft) -> bool:
    """Tell whether the other side gets the same hold: "other side, same eight" after eight seconds counted aloud."""
    same = previous.chapter == draft.chapter and previous.counted_still
    return same and announced.unit is None and announced.value == previous.target


def _held_for(mentions: Mentions, announced: Announcement) -> bool:
    """Tell whether a number was announced as the length of a hold: "hold it there for eight"."""
    k = mentions.numbers[announced.index].words[0]
    first = max(k - HOLD_REACH, mentions.utterances[mentions.utterance_of[k]].first)
    before = mentions.tokens[first:k]
    return bool(_HOLDING & set(before)) and "for" in before and "each" not in before


def _breaths(decoded: Decoded, mentions: Mentions, draft: Draft) -> bool:
    """Tell whether a set is held for breaths: what was announced for it last, before it or as it starts."""
    first, stop = draft.gap[0], min(draft.span[0] + 2, draft.span[1])
    for i in range(len(mentions.numbers) - 1, -1, -1):
        one = mentions.numbers[i]
        at = mentions.utterance_of[one.words[0]]
        if at >= stop:
            continue
        if at < first:
            return False
        if one.form in {"word", "figure", "soundalike"} and unit_of(mentions, one) == "breaths":
            return True
        if decoded.roles[i] == "target":
            return False
    return False


def _breathes_on(draft: Draft, previous: Draft | None, announced: Announcement | None) -> bool:
    """Tell whether the other side gets as many breaths as the first ("left hip gets its five too")."""
    same_chapter = previous is not None and previous.chapter == draft.chapter and previous.breaths
    return same_chapter and (announced is None or announced.unit is None)


def _signs(mentions: Mentions, first: int, stop: int) -> set[str]:
    out: set[str] = set()
    for one in mentions.utterances[first:stop]:
        out.update(*mentions.signs_at[one.first : one.stop])
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
        return _time(draft, mentions.transcript.source.timing == "coarse")
    count = _count(decoded, mentions, draft)
    return replace(draft, performed=count.performed, reps=count.reps, n_of=count.n_of, pace=count.pace)


def _time(draft: Draft, coarse: bool) -> Draft:
    """Say how long a timed set took; a stretch with no number of seconds about it was not timed."""
    length = draft.end - draft.start
    if draft.target is None and not draft.timed:
        return draft
    if draft.target is not None and abs(length - draft.target) <= (COARSE_SECONDS if coarse else SAME_SECONDS):
        return replace(draft, performed=draft.target)
    return replace(draft, performed=round(length))


def _count(decoded: Decoded, mentions: Mentions, draft: Draft) -> Count:
    calls = [
        Call(decoded.roles[i], int(mentions.numbers[i].value), mentions.numbers[i].time, i)
        for i in draft.numbers
        if decoded.roles[i] in {"rep", "left"} and mentions.numbers[i].value >= 1
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
