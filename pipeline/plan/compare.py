"""How a class differs from its run sheet.

The sheet and the chapters are aligned (``matching``). What is left over on both sides and is the same
exercise was done in another order; what is left over on one side was left out or added, or is a round more or
less. The sets of each exercise are then held against what was planned for them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pipeline.model import FindingKind, Record, Unit, WorkSet
from pipeline.plan.matching import NEARLY, Names, PlannedItem, align
from pipeline.plan.sheet import Plan, PlannedExercise
from pipeline.publish.csv_file import csv_file

if TYPE_CHECKING:
    from lexicon import Lexicon

DIFFERENCE_KINDS: frozenset[FindingKind] = frozenset(
    {
        "left-out", "added", "order-changed", "reps-differ", "seconds-differ", "sets-differ", "rounds-differ",
        "sides-differ", "tempo-differs",
    }
)  # fmt: skip
"""The kinds of finding that come from a run sheet."""

SECONDS_SHARE, SECONDS = 0.2, 2.0
"""A timed set is as planned within this share of it, and within these seconds: as for holds in the audit."""

COLUMNS = ("kind", "time", "set", "planned", "done", "message")


@dataclass(frozen=True, slots=True)
class Difference:
    """Something that was not as planned: when, in which set (an index), and a sentence for a person."""

    kind: FindingKind
    time: float
    set: int | None
    planned: str
    done: str
    message: str


def compare(plan: Plan, record: Record, lexicon: Lexicon | None = None) -> tuple[Difference, ...]:
    """Return how a class differs from its run sheet, in order of time.

    ``lexicon`` tells other names of the exercises; without it names must be those of the record, or nearly.
    """
    names = Names(record, lexicon)
    items = [PlannedItem(exercise, block.rounds) for block in plan.blocks for exercise in block.exercises]
    places = iter(items)
    slots = [
        one for block in plan.blocks for own in [[next(places) for _ in block.exercises]] for one in own * block.rounds
    ]
    chapters = [i for i, chapter in enumerate(record.chapters) if chapter.kind == "exercise"]
    left, over = align(slots, chapters, names)
    found = [*_moved(left, over, names, record), *_leftover(left, over, items, names, record)]
    for item in items:
        found += _details(item, record)
    return tuple(sorted(found, key=lambda one: (one.time, one.kind)))


def differences_csv(differences: Sequence[Difference]) -> str:
    """Return the differences as the text of plan.csv (RFC 4180); sets are numbered from 1."""
    numbers = [None if one.set is None else one.set + 1 for one in differences]
    return csv_file(
        COLUMNS,
        (
            (one.kind, f"{one.time:.3f}", number, one.planned, one.done, one.message)
            for one, number in zip(differences, numbers, strict=True)
        ),
    )


def _moved(left: list[PlannedItem], over: list[int], names: Names, record: Record) -> Iterator[Difference]:
    """Find what was done in another order; take it out of what is left over on both sides."""
    told: list[PlannedItem] = []
    for item in list(left):
        fitting = [chapter for chapter in over if names.fit(item.planned, chapter)]
        if not fitting:
            continue
        chapter = max(fitting, key=lambda one: (names.fit(item.planned, one), -one))
        over.remove(chapter)
        left.remove(item)
        item.done.append(chapter)
        if item not in told:
            told.append(item)
            name = item.planned.name
            after = _name_before(record, chapter)
            message = f"{name} was done in another order than planned: {after}."
            yield Difference(
                "order-changed",
                record.chapters[chapter].start,
                None,
                f"line {item.planned.line}",
                after,
                message,
            )


def _name_before(record: Record, chapter: int) -> str:
    before = [one for one in record.chapters[:chapter] if one.kind == "exercise"]
    return f"after {before[-1].exercise_name}" if before else "first of all"


def _leftover(
    left: list[PlannedItem], over: list[int], items: Sequence[PlannedItem], names: Names, record: Record
) -> Iterator[Difference]:
    """Find what was left out or added, and give further rounds to the exercise they are of."""
    last = record.chapters[-1].end if record.chapters else 0.0
    for item in dict.fromkeys(left):
        if not item.done:
            at = items.index(item)
            before = [chapter for one in items[:at] for chapter in one.done]
            time = record.chapters[max(before)].end if before else 0.0
            name = item.planned.name
            yield Difference("left-out", min(time, last), None, name, "", f"{name} was planned and not done.")
    added: set[str] = set()
    for chapter in over:
        # "Squat" may stand for a goblet squat that is due, but is no further round of one.
        fitting = [item for item in items if names.fit(item.planned, chapter) >= NEARLY]
        if fitting:
            nearest = min(fitting, key=lambda item: min((abs(c - chapter) for c in item.done), default=0))
            nearest.done.append(chapter)
            continue
        one = record.chapters[chapter]
        if one.exercise_name in added:
            continue
        added.add(one.exercise_name)
        message = f"{one.exercise_name} was done and not planned."
        yield Difference("added", one.start, None, "", one.exercise_name, message)


def _details(item: PlannedItem, record: Record) -> Iterator[Difference]:
    """Find how the sets of one planned exercise differ from the plan."""
    if not item.done:
        return
    chapters = sorted(item.done)
    sets = [(i, one) for i, one in enumerate(record.sets) if one.chapter in chapters]
    start = record.chapters[chapters[-1]].start
    yield from _rounds_and_sets(item, chapters, sets, start)
    yield from _amounts(item.planned, sets)
    planned = item.planned
    sides = {one.side for _, one in sets} - {None}
    wanted = {"left", "right"} if planned.sides == "both" else {planned.sides} if planned.sides else set()
    if wanted and sides and sides != wanted:
        done = " and ".join(sorted(side for side in sides if side))
        yield _difference("sides-differ", start, None, planned, f"{planned.sides} sides", f"only the {done}")
    for index, one in sets:
        if planned.tempo and one.tempo and one.tempo != planned.tempo:
            said, done = ("-".join(f"{beat:g}" for beat in each) for each in (planned.tempo, one.tempo))
            yield _difference("tempo-differs", one.start, index, planned, f"tempo {said}", f"tempo {done}")
            break


def _rounds_and_sets(
    item: PlannedItem, chapters: Sequence[int], sets: Sequence[tuple[int, WorkSet]], start: float
) -> Iterator[Difference]:
    planned = item.planned
    if item.rounds > 1 and len(chapters) != item.rounds:
        done = str(len(chapters))
        yield _difference("rounds-differ", start, None, planned, f"{item.rounds} rounds", done)
        return
    # A set of both sides is one set; where sides are not told, the sets themselves are counted.
    lefts = sum(one.side == "left" for _, one in sets)
    rights = sum(one.side == "right" for _, one in sets)
    done_sets = len(sets) - min(lefts, rights)
    if planned.sets and sets and done_sets != item.rounds * planned.sets:
        of = f"{item.rounds * planned.sets} sets" if item.rounds * planned.sets > 1 else "1 set"
        yield _difference("sets-differ", sets[-1][1].start, sets[-1][0], planned, of, str(done_sets))


def _amounts(planned: PlannedExercise, sets: Sequence[tuple[int, WorkSet]]) -> Iterator[Difference]:
    if planned.amount is None or planned.unit is None:
        return
    others: list[tuple[int, WorkSet, str]] = []
    for index, one in sets:
        done = one.performed if one.performed is not None else one.target
        if done is None:
            continue
        if one.unit != planned.unit or not _as_planned(planned, one, done):
            others.append((index, one, _amount_text(done, one.unit)))
    if not others:
        return
    index, one, _ = others[0]
    done_text = ", ".join(dict.fromkeys(text for _, _, text in others))
    kind: FindingKind = "reps-differ" if planned.unit == "reps" else "seconds-differ"
    where = f" in {len(others)} of {len(sets)} sets" if len(sets) > 1 else ""
    yield _difference(kind, one.start, index, planned, _amount_text(planned.amount, planned.unit), done_text + where)


def _amount_text(amount: int, unit: Unit) -> str:
    return f"{amount} {unit if amount != 1 else unit[:-1]}"


def _as_planned(planned: PlannedExercise, one: WorkSet, done: int) -> bool:
    wanted = planned.amount or 0
    if planned.unit == "reps":
        return done == wanted
    # What was announced as planned was meant as planned; how long it took is for the audit.
    return one.target == wanted or abs(done - wanted) <= max(SECONDS_SHARE * wanted, SECONDS)


def _difference(
    kind: FindingKind, time: float, index: int | None, planned: PlannedExercise, wanted: str, done: str
) -> Difference:
    return Difference(kind, time, index, wanted, done, f"{planned.name}: {wanted} planned, {done} done.")
