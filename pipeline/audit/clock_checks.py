"""Checks against the clock: holds, intervals, tempo, and where halfway is called."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.audit.doubt import UNLIKELY, called, room_after
from pipeline.audit.evidence import Class, Mismatch, Place, name, plain
from pipeline.audit.settings import Settings
from pipeline.model import Finding, WorkSet

#: How sure a set off the clock is at best, a call of halfway, and a tempo that the reps outrun. Reps slower than
#: their tempo have a rest between them, or not all of the tempo was read.
SURE, HALFWAY, TEMPO = 0.9, 0.8, 0.8
#: A hold taken for less or more than this share of what was announced is so far off that its bounds, or what was
#: announced, are in doubt; a working interval, which somebody stops by a clock, sooner; and a rep that takes less
#: than this share of its tempo was not meant by it.
HOLD_DOUBT, INTERVAL_DOUBT, TEMPO_DOUBT = (0.45, 2.0), (0.65, 1.42), 0.3
#: Words that start a set, looked for from so long before it to so long after its first word (s).
GO, GO_BEFORE, GO_AFTER = frozenset({"go", "start", "begin", "off", "work"}), 1.0, 1.5
#: A count-in ends this shortly before a set, and its seconds were announced at most so long before it (s).
COUNTED_IN, ANNOUNCED = 3.0, 15.0
#: Halfway called later than this share of the time announced is that of a set which began later than it was read.
LATE_HALF = 0.75
#: Beside a number of seconds these say that they are to come.
TO_COME = frozenset({"left", "remaining", "more", "come", "only", "last"})
#: Halfway called at the very start or end of a set, this share of it from the middle, was said of something else.
FAR_FROM_MIDDLE = 0.45


def hold_or_interval_off_clock(one: Class, settings: Settings) -> Iterator[Finding]:
    """A hold or a timed set announced at some seconds takes clearly other time.

    A hold is off beyond ``hold_share`` of what was announced and ``hold_seconds``; a working interval beyond
    ``interval_share`` and ``interval_seconds``.
    """
    if not one.fine:
        return
    for index, work in enumerate(one.sets):
        if work.unit != "seconds" or work.target is None or work.performed is None:
            continue
        off = abs(work.performed - work.target)
        share, seconds = (
            (settings.hold_share, settings.hold_seconds)
            if work.still
            else (settings.interval_share, settings.interval_seconds)
        )
        if off <= share * work.target or off <= seconds:
            continue
        least, most = HOLD_DOUBT if work.still else INTERVAL_DOUBT
        in_reason = least * work.target <= work.performed <= most * work.target
        bounded = _start_known(one, index, share) and not _goes_on(one, index, max(share * work.target, seconds))
        sure = SURE if in_reason and bounded else UNLIKELY
        yield one.finding(
            "hold-off-clock" if work.still else "interval-off-clock",
            Place(work.end, index, work.words),
            Mismatch(
                f"{work.target} seconds",
                f"{work.performed} seconds",
                f"{work.target} seconds were announced, {work.performed} pass on the clock ({name(work)}).",
            ),
            sure * work.confidence,
        )


def _start_known(one: Class, index: int, share: float) -> bool:
    """Tell whether a set that is off the clock by over ``share`` was seen to start where its time begins.

    It was where it is counted in, or told to go. Otherwise it may have begun when its time was announced: what is
    too short even from there is; and a hold that is too long begins with the first word said in it, unless its
    time is announced after that. Where halfway is called late in the time announced, it began later.
    """
    work = one.sets[index]
    performed, target = work.performed or 0, work.target or 0
    halves = [call.time - work.start for call in one.said_in(index, "half")]
    if performed > target and any(half > LATE_HALF * target for half in halves):
        return False
    words = [word for word in one.transcript.words if -GO_BEFORE <= word.start - work.start <= GO_AFTER]
    if any(plain(word.text) in GO for word in words):
        return True
    before = [n for n in one.numbers if 0.0 <= work.start - n.time <= ANNOUNCED]
    if any(n.role == "countin" and work.start - n.time <= COUNTED_IN for n in before):
        return True
    if performed > target:
        told_later = any(n.role == "target" and n.n == target and work.start < n.time < work.end for n in one.numbers)
        return work.still and not told_later
    gap = max((work.start - n.time for n in before if n.role == "target" and n.n == target), default=None)
    return gap is not None and performed + gap < (1 - share) * target


def _goes_on(one: Class, index: int, slack: float) -> bool:
    """Tell whether more seconds were called to be left than the set goes on for, by over ``slack`` seconds."""
    work, words = one.sets[index], one.transcript.words
    return any(
        call.n is not None
        and call.n < (work.target or 0)
        and call.time + call.n > work.end + slack
        and any(plain(word.text) in TO_COME for word in words[max(0, call.words[0] - 1) : call.words[1] + 3])
        for call in one.said_in(index, "clock")
    )


def tempo_off_clock(one: Class, settings: Settings) -> Iterator[Finding]:
    """The announced tempo and the measured time a rep differ by over ``tempo_share``.

    The announced seconds of all parts of a rep add up to the seconds a rep should take. A tempo announced for one
    side holds for the other.
    """
    if not one.fine:
        return
    for index, work in enumerate(one.sets):
        tempo = work.tempo or _tempo_of_other_side(one, index)
        if tempo is None or len(tempo) < 2 or work.pace is None or work.unit != "reps":
            continue
        wanted = sum(tempo)
        if abs(work.pace - wanted) <= settings.tempo_share * wanted:
            continue
        if work.pace < TEMPO_DOUBT * wanted:
            continue
        said = "-".join(f"{beat:g}" for beat in tempo)
        yield one.finding(
            "tempo-off-clock",
            Place(work.reps[0].time if work.reps else work.start, index, work.words),
            Mismatch(
                f"{said} ({wanted:g} s a rep)",
                f"{work.pace:.1f} s a rep",
                f"A tempo of {said} was announced, {wanted:g} s a rep; "
                f"a rep takes about {work.pace:.1f} s ({name(work)}).",
            ),
            (TEMPO if work.pace < wanted else UNLIKELY) * work.confidence,
        )


def _tempo_of_other_side(one: Class, index: int) -> tuple[float, ...] | None:
    if index == 0:
        return None
    work, before = one.sets[index], one.sets[index - 1]
    same = (before.chapter, before.range) == (work.chapter, work.range)
    return before.tempo if same and {before.side, work.side} == {"left", "right"} else None


def halfway_off(one: Class, settings: Settings) -> Iterator[Finding]:
    """Halfway is called at the wrong point, off by over ``half_share`` of the set.

    It is right if it fits what was announced or what was really done; where nothing was announced, what was done the
    time before as well.
    """
    for index, work in enumerate(one.sets):
        own = [whole for whole in (work.target, work.performed) if whole]
        before = _done_before(one, index) if work.target is None else None
        for call in one.said_in(index, "half"):
            off = _off_middle(work, own, call.time, one.fine, settings)
            again = _off_middle(work, [before], call.time, one.fine, settings) if before else None
            if off is None or min(off, again if again is not None else off) <= settings.half_share + 0.01:
                continue
            counted = work.unit == "seconds" or _counted_at(one, index, call.time, settings)
            sure = HALFWAY if off < FAR_FROM_MIDDLE and counted and _as_announced(work, settings) else UNLIKELY
            yield one.finding(
                "halfway-off",
                Place(call.time, index, call.words),
                Mismatch(
                    call.text.strip(".,;:!?"),
                    "halfway",
                    f"Halfway is called {off:.0%} of the set away from its middle ({name(work)}).",
                ),
                sure * min(one.count_confidence(index), call.confidence),
            )
            break


def _counted_at(one: Class, index: int, time: float, settings: Settings) -> bool:
    """Tell whether the reps done at a moment, and all in all, are known: from a called one, and from its last."""
    whole = one.sets[index].target is not None or room_after(one, index, settings) == 0
    begun = any(number.time <= time + 0.1 for number, _ in called(one, index))
    return whole and begun


def _as_announced(work: WorkSet, settings: Settings) -> bool:
    """Tell whether a set came to about what was announced: of any other nobody knows which middle was meant."""
    if work.target is None or work.performed is None:
        return True
    near = settings.interval_share * work.target if work.unit == "seconds" else settings.miscount_reps
    return abs(work.performed - work.target) <= near


def _done_before(one: Class, index: int) -> int | None:
    """Return what the last set of the same exercise came to: its other side, or the round before."""
    work = one.sets[index]
    key = (one.exercise_of(work.chapter), work.unit)
    before = (
        earlier for earlier in reversed(one.sets[:index]) if (one.exercise_of(earlier.chapter), earlier.unit) == key
    )
    return next((earlier.performed for earlier in before), None)


def _off_middle(work: WorkSet, wholes: Sequence[int], time: float, fine: bool, settings: Settings) -> float | None:
    """Return how far from the middle a moment is, as a share of the set, at its kindest.

    The coming rep counts as done where it is, within ``call_early`` of a rep.
    """
    if work.unit == "seconds":
        if not fine:
            return None
        return min((abs((time - work.start) / w - 0.5) for w in wholes), default=None)
    if not work.reps or (work.pace is None and work.target is None):
        return None
    done = sum(1 for rep in work.reps if rep.time <= time + 0.1)
    near = {done}
    if fine:
        coming = next((rep for rep in work.reps if rep.time > time + 0.1), None)
        if coming is not None and work.pace and coming.time - time < settings.call_early * work.pace:
            near.add(done + 1)
    else:
        # Without a real clock only the number called just before can tell.
        before = [rep for rep in work.reps if rep.called and rep.time <= time + 0.1]
        if not before or time - before[-1].time > 4.0:
            return None
        done = before[-1].n
        near = {done} if time - before[-1].time < 1.5 else {done, done + 1}
    return min((abs(d / w - 0.5) for d in near for w in wholes), default=None)
