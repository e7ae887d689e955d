"""Blocks: exercises that are done in turn and again, or one after the other by the clock.

- An exercise that comes back belongs to a block with all between, where at least half of those come back near
  by too (a superset of two, a circuit of more), or where nothing is between (rounds of one exercise). What
  comes back much later, as a stretch in the warm-up and at the end does, makes no block.
- The other side of an exercise is no further round of it: left and then right are one.
- Three or more exercises in a row with the same seconds of work each, none of them a still hold, are a block
  of intervals, though none comes back.

What rests lie between the first and the last exercise of a block belong to it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.model import Chapter, Record, WorkSet

MOST_EXERCISES = 12
"""Exercises of the longest circuit; what comes back later than that is no next round (by judgement)."""

COMING_BACK = 0.5
"""The share of the exercises between two turns of one that must come back too; a round may leave some out."""

LEAST_INTERVALS = 3
"""Exercises in a row of the same seconds that make a block; two may be by chance (by judgement)."""

LONGEST_NAME = 60
"""Characters of a block's name, so that its number and rounds fit a title too; more exercises are counted."""


@dataclass(frozen=True, slots=True)
class Block:
    """A block: the chapters ``first`` to ``stop`` (exclusive), its number from 1, and what it is made of.

    ``exercises`` are the names in the order of their first turn; ``rounds`` is how often the block goes round
    (1 where nothing comes back); ``seconds`` is the work of each interval, ``None`` where sets differ.
    """

    first: int
    stop: int
    number: int
    exercises: tuple[str, ...]
    rounds: int
    seconds: int | None

    @property
    def name(self) -> str:
        """What the block is, in the trade's words: ``curl and extension superset``, ``circuit of 6``."""
        names = [name.lower() for name in self.exercises]
        listed = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
        kind = "intervals" if self.seconds else "superset" if len(names) == 2 else "circuit"
        if self.seconds:
            kind = f"{self.seconds}-second {kind}"
        if len(names) == 1:
            return f"{listed}, {kind}" if self.seconds else listed
        name = f"{listed}, {kind}" if self.seconds else f"{listed} {kind}"
        return name if len(name) <= LONGEST_NAME else f"{kind} of {len(names)} exercises"


def exercise_key(chapter: Chapter) -> str:
    """Return what tells an exercise from others: its id, or else its name in small letters."""
    return chapter.exercise or chapter.exercise_name.lower()


def find_blocks(record: Record) -> tuple[Block, ...]:
    """Return the blocks of a class in order; none overlaps another."""
    turns = [i for i, chapter in enumerate(record.chapters) if chapter.kind == "exercise"]
    keys = [exercise_key(record.chapters[i]) for i in turns]
    spans = _returning(keys)
    taken = {at for first, last in spans for at in range(first, last + 1)}
    spans += _intervals(record, turns, taken)
    sets = sets_by_chapter(record)
    blocks: list[Block] = []
    for first, last in sorted(spans):
        inside = turns[first : last + 1]
        if any(record.chapters[i].kind in {"intro", "outro"} for i in range(inside[0], inside[-1])):
            continue
        names = {keys[at]: record.chapters[turns[at]].exercise_name for at in range(last, first - 1, -1)}
        order = dict.fromkeys(keys[first : last + 1])
        by_key = [[sets[i] for at, i in enumerate(inside, first) if keys[at] == key] for key in order]
        rounds = max(len(rounds_of(one)) for one in by_key)
        if len(order) == 1 and rounds == 1:
            continue
        seconds = _common_seconds([one for i in inside for one in sets[i]])
        exercises = tuple(names[key] for key in order)
        blocks.append(Block(inside[0], inside[-1] + 1, len(blocks) + 1, exercises, rounds, seconds))
    return tuple(blocks)


def rounds_of(turns: Sequence[Sequence[WorkSet]]) -> list[list[WorkSet]]:
    """Return the sets of each round of one exercise, given the sets of each turn to it.

    A turn to the side that the round still lacks belongs to it.
    """
    rounds: list[list[WorkSet]] = []
    for sets in turns:
        sides = {one.side for one in sets}
        done = {one.side for one in rounds[-1]} if rounds else set()
        if sides and done and None not in sides | done and not sides & done:
            rounds[-1] += sets
        else:
            rounds.append([*sets])
    return rounds


def sets_by_chapter(record: Record) -> list[list[WorkSet]]:
    """Return the sets of each chapter in rising order of time."""
    out: list[list[WorkSet]] = [[] for _ in record.chapters]
    for one in sorted(record.sets, key=lambda one: one.start):
        out[one.chapter].append(one)
    return out


def _returning(keys: Sequence[str]) -> list[tuple[int, int]]:
    """Return the places (first, last) of exercises that come back, overlapping ones made one."""
    spans: list[tuple[int, int]] = []
    seen: dict[str, int] = {}
    for at, key in enumerate(keys):
        before = seen.get(key)
        seen[key] = at
        if before is None or not key or not _is_round(keys, before, at):
            continue
        first = before
        while spans and spans[-1][1] >= first:
            first = min(first, spans.pop()[0])
        spans.append((first, at))
    return spans


def _is_round(keys: Sequence[str], first: int, last: int) -> bool:
    gap = last - first
    if gap > MOST_EXERCISES:
        return False
    between = set(keys[first + 1 : last])
    near = set(keys[max(first - gap, 0) : first]) | set(keys[last + 1 : last + 1 + gap])
    return len(between & near) >= COMING_BACK * len(between)


def _intervals(record: Record, turns: Sequence[int], taken: set[int]) -> list[tuple[int, int]]:
    sets = sets_by_chapter(record)
    seconds = [
        None if at in taken or any(one.still for one in sets[i]) else _common_seconds(sets[i])
        for at, i in enumerate(turns)
    ]
    spans = []
    first = 0
    for at in range(1, len(turns) + 1):
        if at < len(turns) and seconds[at] == seconds[first]:
            continue
        if seconds[first] is not None and at - first >= LEAST_INTERVALS:
            spans.append((first, at - 1))
        first = at
    return spans


def _common_seconds(sets: Sequence[WorkSet]) -> int | None:
    """Return the announced seconds that all these sets share, ``None`` where there is no such number."""
    targets = {one.target if one.unit == "seconds" else None for one in sets}
    return targets.pop() if len(targets) == 1 else None
