"""Checks between sets: left against right, and one round against another."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.audit.doubt import UNLIKELY, doubtful, room_after
from pipeline.audit.evidence import Class, Mismatch, Place, name
from pipeline.audit.settings import Settings
from pipeline.model import Finding, WorkSet

#: How sure the two checks are at best: that an exercise is the one of the round before must be guessed.
SIDE, ROUND = 0.9, 0.75
#: Two rounds, or two sides, of which one has less than this share of the other were probably cut wrongly, not
#: miscounted.
ALIKE, SIDES_ALIKE = 0.6, 0.5


def side_imbalance(one: Class, settings: Settings) -> Iterator[Finding]:
    """One side got more reps than the other, of the same exercise and in the same range.

    The sides follow each other in one chapter, or in two next to each other.
    """
    firsts: dict[tuple[int, str | None], int] = {}
    for index, work in enumerate(one.sets):
        if work.side is None or work.unit != "reps" or work.performed is None:
            continue
        place = (_block(one, work), work.range)
        first = firsts.get(place)
        if first is None or one.sets[first].side == work.side or _goes_with_the_next(one, first, index):
            firsts[place] = index
            continue
        other = one.sets[firsts.pop(place)]
        if other.performed != work.performed and one.trusts(work) and one.trusts(other):
            sure = SIDE if _comparable(one, first, index, SIDES_ALIKE, settings) else UNLIKELY
            yield one.finding(
                "side-imbalance",
                Place(work.end, index, work.words),
                Mismatch(
                    f"{other.performed} on the {other.side}",
                    f"{work.performed} on the {work.side}",
                    f"{other.performed} on the {other.side}, {work.performed} on the {work.side} "
                    f"({work.exercise_name}).",
                ),
                sure * min(work.confidence, other.confidence),
            )


def _block(one: Class, work: WorkSet) -> int:
    """Return the first of the chapters up to a set's that are about one exercise with nothing between them."""
    first, exercise = work.chapter, one.exercise_of(work.chapter)
    while exercise and first > 0 and one.exercise_of(first - 1) == exercise:
        first -= 1
    return first


def _goes_with_the_next(one: Class, first: int, index: int) -> bool:
    """Tell whether a set is matched by the next one rather than by the one before.

    In a ladder ("one on the right; two on the left, two on the right") a side may be missing at the beginning.
    """
    work = one.sets[index]
    if index + 1 >= len(one.sets) or work.performed == one.sets[first].performed:
        return False
    following = one.sets[index + 1]
    return (
        (following.chapter, following.range, following.performed) == (work.chapter, work.range, work.performed)
        and following.side is not None
        and following.side != work.side
    )


def _comparable(one: Class, first: int, second: int, share: float, settings: Settings) -> bool:
    """Tell whether two sets were read well enough to be held against each other, the lesser one to its end."""
    done = {index: one.sets[index].performed or 0 for index in (first, second)}
    lesser, greater = sorted(done, key=lambda index: done[index])
    missing = done[greater] - done[lesser]
    if one.sets[lesser].target != done[lesser] and missing <= room_after(one, lesser, settings):
        return False
    return done[lesser] >= share * done[greater] and not any(doubtful(one, index, settings) for index in done)


def round_mismatch(one: Class, settings: Settings) -> Iterator[Finding]:
    """A later round of an exercise differs from the one before, and nobody said that it would.

    A number announced for the later round is such a word: missing it is for ``over_or_under_target`` to tell.
    """
    before: dict[tuple[str, str | None, str | None, int], int] = {}
    place: dict[int, int] = {}
    for index, work in enumerate(one.sets):
        place[work.chapter] = place.get(work.chapter, -1) + 1
        key = (work.exercise or work.exercise_name.lower(), work.side, work.range, place[work.chapter])
        earlier_index = before.get(key)
        before[key] = index
        if earlier_index is None:
            continue
        earlier = one.sets[earlier_index]
        if earlier.chapter == work.chapter or work.unit != "reps" or work.target is not None:
            continue
        if None in (earlier.performed, work.performed) or earlier.performed == work.performed:
            continue
        if not (one.trusts(earlier) and one.trusts(work)) or _said_so(one, index):
            continue
        sure = ROUND if _comparable(one, earlier_index, index, ALIKE, settings) else UNLIKELY
        yield one.finding(
            "round-mismatch",
            Place(work.end, index, work.words),
            Mismatch(
                f"{earlier.performed} the round before",
                f"{work.performed} this round",
                f"{name(work)}: {work.performed} in this round, {earlier.performed} in the one before, "
                "and nobody said so.",
            ),
            sure * min(work.confidence, earlier.confidence),
        )


def _said_so(one: Class, index: int) -> bool:
    """Tell whether what was done had been announced: since the set before, or for the other side of this round."""
    work, before = one.sets[index], one.sets[index - 1] if index else None
    if before is not None and before.chapter == work.chapter and {before.side, work.side} == {"left", "right"}:
        return before.target == before.performed == work.performed
    since = before.end if before is not None else 0.0
    return any(n.role == "target" and n.n == work.performed and since <= n.time <= work.start for n in one.numbers)
