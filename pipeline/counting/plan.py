"""The plan: what was announced so far, and which of it each set may work to."""

from __future__ import annotations

from pipeline.counting.decode import Decoded
from pipeline.counting.draft import Draft
from pipeline.counting.targets import (
    FOR_BOTH_SIDES,
    LEAST_CHANCE,
    ONE_BREATH,
    WAITING,
    Announcement,
    announcements,
    lasts_each,
    unit_of,
)
from pipeline.mentions.hear import Mentions

_CALLS = frozenset({"rep", "left", "hold", "clock"})
_WORKING = frozenset({"begin", "work"})
#: What is announced in the welcome or in a rest is a plan for several sets.
_PLANNED = frozenset({"intro", "resting", "rest"})


class Plan:
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

    def choices(
        self, draft: Draft, before: int, previous: Draft | None, late: list[int]
    ) -> list[tuple[Announcement, float]]:
        """Return the announcements that a set may work to, each with its chance, the likeliest reading first.

        ``before`` is the first utterance after the ``previous`` set; ``late`` are the targets said as that one ended.
        """
        mentions, roles = self.mentions, self.decoded.roles
        if draft.chapter != self.waiting_chapter:
            self.waiting, self.waiting_chapter, self.each_side = [], draft.chapter, False
        calls_from = next((i for i in draft.numbers if roles[i] in _CALLS), None)
        new = [
            i for i, one in enumerate(mentions.numbers)
            if before <= (at := mentions.utterance_of[one.words[0]]) < draft.span[1]
            and (at < draft.span[0] or calls_from is None or i < calls_from)
        ]  # fmt: skip
        new = late + new
        sure = [i for i in new if roles[i] == "target"]
        found = announcements(mentions, sure)
        phases = self.decoded.phases
        self.intervals += [a for i in sure for a in announcements(mentions, [i]) if a.unit == "seconds"]
        other = [i for i in new if roles[i] == "other" and unit_of(mentions, mentions.numbers[i]) == "seconds"]
        self.said_before.append(
            [int(mentions.numbers[i].value) for i in other if phases[utterance_of(mentions, i)] not in _PLANNED]
        )
        self.seconds_said += [int(mentions.numbers[i].value) for i in other]
        own = [a for a in found if phases[utterance_of(mentions, a.index)] not in _PLANNED]
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
        if previous is None:
            return []
        roles = self.decoded.roles
        calls = [i for i in previous.numbers if roles[i] in _CALLS]
        return [i for i in previous.numbers if roles[i] == "target" and i > calls[-1]] if calls else []

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
            utterance_of(self.mentions, i)
            for i, role in enumerate(roles)
            if role == "tempo" or (role == "target" and lasts_each(self.mentions, self.mentions.numbers[i]))
        ]
        return sum(first <= at < stop and phases[at] not in _WORKING for at in talk)

    def _chance(self, one: Announcement) -> float:
        return float(self.decoded.role_chances[one.index, self.target_column])


def utterance_of(mentions: Mentions, i: int) -> int:
    """Return the utterance of number ``i``."""
    return mentions.utterance_of[mentions.numbers[i].words[0]]


def _last_breath(own: list[Announcement]) -> list[Announcement]:
    """Return the announcements that were made last, in one breath."""
    breath = own[-1:]
    for one in reversed(own[:-1]):
        if breath[0].time - one.time > ONE_BREATH:
            break
        breath.insert(0, one)
    return breath
