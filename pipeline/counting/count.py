"""The rep clock: how many reps a set really had, and when each was done.

Presenters call some reps ("one … three … five") and announce what is left ("two more"). Calls are laid on the
clock: between two calls there were as many reps as the set's own pace gives, whatever the numbers say. So a
number left out where the clock leaves no rep for it, and a number used for two reps, come out as what they are,
and a sparse count is no mistake.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.counting.calls import Call, counted_on, pace_of, unroll_eights
from pipeline.counting.marks import Mark, lay_on_clock
from pipeline.counting.oddities import weigh_oddities
from pipeline.counting.rep_times import place_reps
from pipeline.model import Rep

#: A set whose last reps were not called was done to its target where it ends at most this many paces before that
#: falls due, …
DUE_EARLY = 0.3
#: … or this many paces after it, and this many seconds more for its last words.
DUE_LATE, LAST_WORDS = 0.4, 1.5
#: One silent rep alone is within the error of the clock: a set may end half a pace after its last rep.
FEWEST_SILENT = 2


@dataclass(frozen=True)
class Count:
    """What a set came to.

    ``performed`` is ``None`` where nobody could tell. ``pace`` is seconds a rep (``None`` for fewer than two
    calls). ``n_of`` gives for a call's index the number it stands for, with eights counted on. ``called_out`` tells
    that its last reps were not taken from the clock, ``oddities`` weighs what does not add up.
    """

    performed: int | None
    reps: tuple[Rep, ...]
    pace: float | None
    n_of: dict[int, int]
    called_out: bool = False
    oddities: float = 0.0


def count_reps(
    calls: Sequence[Call],
    target: int | None,
    start: float,
    end: float,
    usual_pace: float | None,
    trust_clock: bool,
) -> Count:
    """Count a set of reps from its calls.

    ``target`` is what was announced, ``start`` and ``end`` the set's bounds in seconds, ``usual_pace`` the
    exercise's usual seconds a rep; ``trust_clock`` is false for coarse stamps, whose words have no real times.
    """
    rep_calls = [call for call in calls if call.kind == "rep"]
    n_of = unroll_eights(rep_calls, target)
    on_the_way = counted_on(calls, n_of)
    pace = pace_of(on_the_way)
    marks = lay_on_clock(on_the_way, pace, target, start, trust_clock)
    if not marks:
        return Count(None, (), None, n_of)
    last = marks[-1]
    silent = _done_in_silence(last, target, end, pace) if trust_clock else 0
    performed = last.done + (silent if last.called else last.call.n)
    reps = place_reps(marks, performed, start, end, pace or usual_pace)
    oddities = weigh_oddities(on_the_way, marks, pace, performed, target)
    return Count(performed, reps, pace, n_of, bool(rep_calls) and not silent, oddities)


def _done_in_silence(last: Mark, target: int | None, end: float, pace: float | None) -> int:
    """Return how many reps were done after the last called one, where the clock leaves just what the target asks."""
    if target is None or pace is None or not last.called or target - last.done < FEWEST_SILENT:
        return 0
    missing = target - last.done
    over = end - last.time - missing * pace
    return missing if -DUE_EARLY * pace <= over <= DUE_LATE * pace + LAST_WORDS else 0
