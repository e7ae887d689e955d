"""Sets: each working stretch of a class with its unit, target, what was done, side, range, tempo and reps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from statistics import fmean

from pipeline.counting.count import Call, Count, count_reps
from pipeline.counting.decode import Decoded
from pipeline.counting.targets import Announcement, announcements, unit_of
from pipeline.mentions.hear import Mentions
from pipeline.model import Range, Rep, Side, Unit

#: A timed set's length is taken as announced where the clock shows the same within this many seconds.
SAME_SECONDS = 1.6
_RANGES: tuple[tuple[str, Range], ...] = (
    ("pulsing", "pulse"), ("lower_range", "lower"), ("upper_range", "upper"), ("full_range", "full"),
)  # fmt: skip
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


def draft_sets(decoded: Decoded, mentions: Mentions, chapter_of_span: Sequence[int]) -> list[Draft]:
    """Lay out the sets of a class: where they are, which numbers they hold, and what those add up to."""
    spans = decoded.spans
    inside = _numbers_in(mentions, spans)
    drafts: list[Draft] = []
    plan = _Plan(mentions, decoded)
    for s, span in enumerate(spans):
        before = spans[s - 1][1] if s else 0
        chapter_begins = _first_utterance(decoded, chapter_of_span[s])
        gap = (max(before, min(chapter_begins, span[0])), span[0])
        first, last = mentions.utterances[span[0]], mentions.utterances[span[1] - 1]
        draft = Draft(span, gap, first.start, last.end, chapter_of_span[s], tuple(inside[s]))
        previous = drafts[-1] if drafts else None
        announced = plan.take(draft, before, previous)
        draft = replace(draft, unit=_unit(decoded, mentions, draft, announced, previous), range=_range(mentions, draft))
        signs = _signs(mentions, draft.gap[0], draft.span[0] + 1)
        draft = replace(draft, holding="holding" in signs)
        if announced is not None and not (announced.unit == "reps" and draft.unit == "seconds"):
            draft = replace(draft, target=announced.value)
        elif draft.unit == "seconds" and not _breaths(mentions, draft) and plan.interval is not None:
            draft = replace(draft, target=plan.interval.value)
        draft = _fill(decoded, mentions, draft)
        draft = replace(draft, tempo=_tempo(decoded, mentions, draft, before), confidence=_confidence(decoded, draft))
        drafts.append(draft)
    return drafts


def _numbers_in(mentions: Mentions, spans: Sequence[tuple[int, int]]) -> list[list[int]]:
    out: list[list[int]] = [[] for _ in spans]
    for i, one in enumerate(mentions.numbers):
        at = mentions.utterance_of[one.words[0]]
        for s, (first, stop) in enumerate(spans):
            if first <= at < stop:
                out[s].append(i)
    return out


def _first_utterance(decoded: Decoded, chapter: int) -> int:
    starts = [0] + [
        at for at, phase in enumerate(decoded.phases) if at > 0 and phase in {"turn", "rest", "close"}
    ]
    return starts[chapter] if chapter < len(starts) else 0


class _Plan:
    """Hands out announced targets to sets, in order."""

    def __init__(self, mentions: Mentions, decoded: Decoded) -> None:
        self.mentions, self.decoded = mentions, decoded
        self.waiting: list[Announcement] = []
        self.waiting_chapter = -1
        self.interval: Announcement | None = None

    def take(self, draft: Draft, before: int, previous: Draft | None) -> Announcement | None:
        """Return the announcement that a set works to."""
        mentions, roles = self.mentions, self.decoded.roles
        calls_from = next(
            (i for i in draft.numbers if roles[i] in {"rep", "left", "hold", "clock"}), None
        )
        new = [
            i for i, one in enumerate(mentions.numbers)
            if roles[i] == "target" and before <= mentions.utterance_of[one.words[0]] < draft.span[1]
            and (mentions.utterance_of[one.words[0]] < draft.span[0] or calls_from is None or i < calls_from)
        ]  # fmt: skip
        if draft.chapter != self.waiting_chapter:
            self.waiting, self.waiting_chapter = [], draft.chapter
        found = announcements(mentions, new)
        phases = self.decoded.phases
        planned = [
            a for a in found if phases[mentions.utterance_of[mentions.numbers[a.index].words[0]]] in {"intro", "resting"}
        ]
        for one in found:
            if one.unit == "seconds":
                self.interval = one
        own = [a for a in found if a not in planned]
        if own:
            first, self.waiting = self._split(own)
            return first
        if self.waiting:
            return self.waiting.pop(0)
        if previous is not None and previous.chapter == draft.chapter and previous.target is not None and self._each:
            return Announcement(previous.target, previous.unit, True, -1, draft.start)
        return None

    _each = False

    def _split(self, own: list[Announcement]) -> tuple[Announcement, list[Announcement]]:
        """Choose which of several announcements is for the coming set; the others wait for the sets after it."""
        last = own[-1]
        breath = [last]
        for one in reversed(own[:-1]):
            if breath[0].time - one.time > 6.0:
                break
            breath.insert(0, one)
        self._each = breath[0].each_side
        return breath[0], breath[1:]


def _unit(
    decoded: Decoded, mentions: Mentions, draft: Draft, announced: Announcement | None, previous: Draft | None
) -> Unit:
    roles = [decoded.roles[i] for i in draft.numbers]
    calls = sum(role in {"rep", "left"} for role in roles)
    timed = sum(role in _TIMED for role in roles)
    said = announced.unit if announced is not None else None
    if said == "breaths":
        return "seconds"
    if said == "seconds":
        return "reps" if calls >= 2 and calls > timed else "seconds"
    if calls:
        return "reps"
    if said == "reps":
        return "reps"
    if timed:
        return "seconds"
    if _breaths(mentions, draft):
        return "seconds"
    signs = _signs(mentions, draft.gap[0], draft.span[0] + 1)
    if "holding" in signs and "reps" not in signs:
        return "seconds"
    if previous is not None and previous.unit == "seconds" and announced is None:
        return "seconds"
    return "reps"


def _breaths(mentions: Mentions, draft: Draft) -> bool:
    for one in mentions.numbers:
        at = mentions.utterance_of[one.words[0]]
        if draft.gap[0] <= at < draft.span[1] and unit_of(mentions, one) == "breaths":
            return True
    return False


def _signs(mentions: Mentions, first: int, stop: int) -> set[str]:
    out: set[str] = set()
    for one in mentions.utterances[first:stop]:
        out.update(*mentions.signs_at[one.first : one.stop])
    return out


def _range(mentions: Mentions, draft: Draft) -> Range | None:
    for at in range(draft.span[0], max(draft.gap[0], draft.span[0] - 4) - 1, -1):
        signs = _signs(mentions, at, at + 1)
        for sign, name in _RANGES:
            if sign in signs:
                return name
    return None


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
    chant = all(b - a in (0, 1) for a, b in zip(beats, beats[1:], strict=False)) and len(beats) > 3
    return None if chant or len(beats) > 4 else tuple(beats)


def _fill(decoded: Decoded, mentions: Mentions, draft: Draft) -> Draft:
    if draft.unit == "seconds":
        if _breaths(mentions, draft):
            return replace(draft, target=None, performed=None)
        length = draft.end - draft.start
        if draft.target is not None and abs(length - draft.target) <= SAME_SECONDS:
            return replace(draft, performed=draft.target)
        return replace(draft, performed=round(length))
    count = _count(decoded, mentions, draft)
    return replace(draft, performed=count.performed, reps=count.reps, n_of=count.n_of, pace=count.pace)


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
