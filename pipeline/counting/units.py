"""Units: whether a set is counted, or kept by the clock or by the breath."""

from __future__ import annotations

from itertools import pairwise

from pipeline.counting.decode import Decoded
from pipeline.counting.draft import Draft
from pipeline.counting.neighbours import SPOKEN
from pipeline.counting.settle import SECOND_BY_SECOND, counted_aloud
from pipeline.counting.targets import Announcement, unit_of
from pipeline.mentions.hear import Mentions
from pipeline.model import Unit

#: "Hold" this many words or fewer before "for eight" says that the eight are seconds.
HOLD_REACH = 7
#: An exercise mentioned this surely before a set is the one done in it.
NAMED = 0.4
#: Roles of numbers that tell the time.
TIMED = frozenset({"hold", "clock"})
_HOLDING = frozenset({"hold", "holding", "freeze", "balance", "stay", "keep"})


def unit_of_set(
    decoded: Decoded, mentions: Mentions, draft: Draft, announced: Announcement | None, previous: Draft | None
) -> Unit:
    """Return what a set is counted in, by what was announced for it, what is called in it and what went before."""
    roles = [decoded.roles[i] for i in draft.numbers]
    calls = sum(role in {"rep", "left"} for role in roles)
    timed = sum(role in TIMED for role in roles)
    said = announced.unit if announced is not None else None
    if draft.breaths:
        return "seconds"
    if said is None and announced is not None and announced.index >= 0 and _held_for(mentions, announced):
        return "seconds"
    if said == "seconds":
        if _chanted(mentions, draft, roles):
            return "reps"
        if draft.holding and _counts_to(decoded, mentions, draft, announced):
            return "seconds"
        return "reps" if calls >= 2 and calls > timed and "rep" in roles else "seconds"
    if announced is not None and previous is not None and _held_again(draft, announced, previous):
        return "seconds"
    if draft.range == "pulse" and timed and not draft.holding and not _told_in_seconds(decoded, mentions, draft):
        return "reps"
    if calls and not ("rep" not in roles and timed >= calls):
        return "reps"
    if said == "reps":
        return "reps"
    if timed:
        return "seconds"
    signs = signs_between(mentions, draft.gap[0], draft.span[0] + 1)
    if "holding" in signs and "reps" not in signs:
        return "seconds"
    if previous is not None and previous.unit == "seconds" and announced is None:
        return "seconds"
    return "reps"


def signs_between(mentions: Mentions, first: int, stop: int) -> set[str]:
    """Return the signs in the utterances from ``first`` to ``stop``."""
    out: set[str] = set()
    for one in mentions.utterances[first:stop]:
        out.update(*mentions.signs_at[one.first : one.stop])
    return out


def held_for_breaths(decoded: Decoded, mentions: Mentions, draft: Draft) -> bool:
    """Tell whether a set is held for breaths: what was announced for it last, before it or as it starts.

    "One breath at a time" announces nothing.
    """
    first, stop = draft.gap[0], min(draft.span[0] + 2, draft.span[1])
    for i in range(len(mentions.numbers) - 1, -1, -1):
        one = mentions.numbers[i]
        at = mentions.utterance_of[one.words[0]]
        if at >= stop:
            continue
        if at < first:
            return False
        if one.form in SPOKEN and one.value > 1 and unit_of(mentions, one) == "breaths":
            return True
        if decoded.roles[i] == "target":
            return False
    return False


def moves_by_the_clock(decoded: Decoded, mentions: Mentions, draft: Draft) -> bool:
    """Tell whether a timed set is an interval of moving work, whose last seconds are called off the clock.

    So it is where the exercise moves and is usually done by the clock; one that is usually counted must have its
    time called besides, with no word of holding.
    """
    opens = mentions.utterances[draft.span[0]].stop
    named = [one for one in mentions.exercises if one.doing >= NAMED and one.words[0] < opens]
    usual = mentions.usual_units.get(named[-1].exercise or "") if named else None
    if usual != "reps":
        return usual == "seconds"
    aloud = counted_aloud(decoded, mentions, draft.numbers)
    called = any(decoded.roles[i] == "clock" and i not in aloud for i in draft.numbers)
    return called and "holding" not in signs_between(mentions, draft.gap[0], draft.span[1])


def breathes_on(draft: Draft, previous: Draft | None, announced: Announcement | None) -> bool:
    """Tell whether the other side gets as many breaths as the first ("left hip gets its five too")."""
    same_chapter = previous is not None and previous.chapter == draft.chapter and previous.breaths
    return same_chapter and (announced is None or announced.unit is None)


def _told_in_seconds(decoded: Decoded, mentions: Mentions, draft: Draft) -> bool:
    """Tell whether seconds are called as such in a set: "ten seconds left" are no pulses."""
    told = (mentions.numbers[i] for i in draft.numbers if decoded.roles[i] == "clock")
    return any(unit_of(mentions, one) == "seconds" for one in told)


def _chanted(mentions: Mentions, draft: Draft, roles: list[str]) -> bool:
    """Tell whether seconds are counted anew within each rep: "one, two, three; two; one, two, three; three"."""
    values = [mentions.numbers[i].value for i in draft.numbers]
    seconds = [value for value, role in zip(values, roles, strict=True) if role in TIMED]
    reps = [value for value, role in zip(values, roles, strict=True) if role == "rep"]
    anew = sum(b == 1 < a for a, b in pairwise(seconds))
    return anew >= 2 and len(reps) >= 3 and all(a < b for a, b in pairwise(reps))


def _counts_to(decoded: Decoded, mentions: Mentions, draft: Draft, announced: Announcement | None) -> bool:
    """Tell whether a set's calls count, second by second, to those announced: "ten seconds: five, six … nine, ten"."""
    calls = [mentions.numbers[i] for i in draft.numbers if decoded.roles[i] == "rep"]
    steps = [(b.time - a.time, b.value - a.value) for a, b in pairwise(calls)]
    second_by_second = all(0 < seconds <= SECOND_BY_SECOND * step for seconds, step in steps)
    return announced is not None and bool(steps) and calls[-1].value == announced.value and second_by_second


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
