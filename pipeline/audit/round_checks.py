"""Checks between sets: left against right, one round against another, and rounds that never came."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.audit.doubt import UNLIKELY, doubtful, room_after
from pipeline.audit.evidence import Class, name
from pipeline.audit.settings import Settings
from pipeline.model import Finding, Number, WorkSet

#: How sure the three checks are at best: rounds are often announced for a block whose bounds must be guessed.
SIDE, ROUND, ROUNDS = 0.9, 0.75, 0.65
#: Two rounds, or two sides, of which one has less than this share of the other were probably cut wrongly, not
#: miscounted.
ALIKE, SIDES_ALIKE = 0.6, 0.5
#: Presenters forget the last round; where less than this share was done, the number was said of something else.
ROUNDS_ALIKE = 0.5
#: What rounds are counted in: "three rounds", "two times through".
ROUND_WORDS = frozenset({"round", "rounds", "set", "sets", "times", "through", "lap", "laps", "visits", "goes"})


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
                "side-imbalance", work.end, index, f"{other.performed} on the {other.side}",
                f"{work.performed} on the {work.side}",
                f"{other.performed} on the {other.side}, {work.performed} on the {work.side} "
                f"({work.exercise_name}).",
                sure * min(work.confidence, other.confidence), work.words,
            )  # fmt: skip


def _block(one: Class, work: WorkSet) -> int:
    """Return the first of the chapters up to a set's that are about one exercise with nothing between them."""
    first = work.chapter
    while first > 0 and _key(one, first - 1) == _key(one, work.chapter) and one.chapters[first - 1].kind == "exercise":
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
        if not (one.trusts(earlier) and one.trusts(work)):
            continue
        sure = ROUND if _comparable(one, earlier_index, index, ALIKE, settings) else UNLIKELY
        yield one.finding(
            "round-mismatch", work.end, index, f"{earlier.performed} the round before", f"{work.performed} this round",
            f"{name(work)}: {work.performed} in this round, {earlier.performed} in the one before, and nobody said so.",
            sure * min(work.confidence, earlier.confidence), work.words,
        )  # fmt: skip


def rounds_missing(one: Class, settings: Settings) -> Iterator[Finding]:
    """The announced number of rounds was not done.

    Only announcements made at an exercise of the block count ("two moves, three rounds"): what is said in the
    welcome is a plan for several blocks at once.
    """
    done_for: set[int] = set()
    for call in one.numbers:
        if call.role != "rounds" or not call.n or call.n < 2 or not _announces_rounds(one, call):
            continue
        chapter = next((c for c, x in enumerate(one.chapters) if x.start <= call.time < x.end), None)
        if chapter is None or one.chapters[chapter].kind != "exercise":
            continue
        runs = len(_rounds_of(one, chapter))
        sets_here = sum(1 for _ in one.sets_of(chapter))
        if runs == 0 or runs >= call.n or sets_here >= call.n or _round_said_later(one, call):
            continue
        last = _last_set_of_block(one, chapter)
        if last is None or last in done_for:
            continue
        done_for.add(last)
        doubted = runs < ROUNDS_ALIKE * call.n or _done_under_other_names(one, chapter, int(call.n))
        yield one.finding(
            "rounds-missing", one.sets[last].end, last, f"{call.n:.0f} rounds", f"{runs} done",
            f"{call.n:.0f} rounds were announced, {runs} done ({one.chapters[chapter].exercise_name}).",
            (UNLIKELY if doubted else ROUNDS)
            * min(call.confidence, one.sets[last].confidence, one.chapters[chapter].confidence), call.words,
        )  # fmt: skip


def _announces_rounds(one: Class, call: Number) -> bool:
    """Tell "two rounds" and "twice" from "round two", "two to go", "the second go" and "two fewer"."""
    if _names_a_round(one, call):
        return False
    if _plain(call.text) in {"twice", "thrice"}:
        return True
    after = one.transcript.words[call.words[1] - 1 : call.words[1] + 2]
    return not ROUND_WORDS.isdisjoint(part for word in after for part in _plain(word.text).split("-"))


def _plain(text: str) -> str:
    return text.lower().strip(".,;:!?")


def _names_a_round(one: Class, call: Number) -> bool:
    """Tell "round two" and "two to go" from "two rounds"."""
    words = one.transcript.words
    before = _plain(words[call.words[0] - 1].text) if call.words[0] else ""
    after = " ".join(_plain(w.text) for w in words[call.words[1] : call.words[1] + 3])
    ordinal = call.value != call.n
    return (
        before in {"round", "rung", "minute", "of", "number", "set"}
        or ordinal
        or after.startswith(("to go", "more", "left", "down", "done", "rounds done", "round done", "round left"))
    )


def _round_said_later(one: Class, call: Number) -> bool:
    """Tell whether the last announced round was begun: "round three" said later."""
    return any(
        later.role == "rounds"
        and later.time > call.time
        and _names_a_round(one, later)
        and (later.n or 0) >= (call.n or 0)
        for later in one.numbers
    )


def _key(one: Class, chapter: int) -> str:
    this = one.chapters[chapter]
    return this.exercise or this.exercise_name.lower()


def _rounds_of(one: Class, chapter: int) -> list[int]:
    """Return the chapters, from one on, in which its exercise is done."""
    wanted = _key(one, chapter)
    return [
        c for c in range(chapter, len(one.chapters))
        if one.chapters[c].kind == "exercise" and _key(one, c) == wanted and any(True for _ in one.sets_of(c))
    ]  # fmt: skip


def _done_under_other_names(one: Class, chapter: int, announced: int) -> bool:
    """Tell whether the missing rounds are likelier there, and the name of one was misread.

    It is where another exercise of the block comes round as often as announced; where the next exercise bears the
    block's name in part ("push-up" after "diamond push-up"); and where nobody says how many of it there are to be,
    and as many are done as before.
    """
    rounds = _rounds_of(one, chapter)
    later = [c for c in range(rounds[-1] + 1, len(one.chapters)) if one.chapters[c].kind == "exercise"]
    inside = [c for c in (*range(chapter, rounds[-1]), *later[:1]) if one.chapters[c].kind == "exercise"]
    keys = [_key(one, c) for c in inside]
    if any(keys.count(key) >= announced for key in keys):
        return True
    if not later:
        return False
    name, other = (one.chapters[c].exercise_name.lower().split() for c in (chapter, later[0]))
    if name[-1:] == other[-1:] or set(name) >= set(other):
        return True
    last, following = (next((work for _, work in one.sets_of(c)), None) for c in (rounds[-1], later[0]))
    if last is None or following is None or following.target is not None:
        return False
    return len(rounds) == 1 or last.performed == following.performed


def _last_set_of_block(one: Class, chapter: int) -> int | None:
    """Return the last set of the block that a chapter opens: up to the first exercise that is not in its cycle."""
    wanted = _key(one, chapter)
    same = [
        c for c in range(chapter, len(one.chapters))
        if one.chapters[c].kind == "exercise" and _key(one, c) == wanted
    ]  # fmt: skip
    cycle = {_key(one, c) for c in range(same[0], same[-1]) if one.chapters[c].kind == "exercise"}
    end = same[-1]
    if len(same) == 1:
        end = _next_exercise(one, chapter, 1)
    else:
        for c in range(same[-1] + 1, len(one.chapters)):
            if one.chapters[c].kind == "rest":
                continue
            if one.chapters[c].kind != "exercise" or _key(one, c) not in cycle:
                break
            end = c
    inside = [i for i, work in enumerate(one.sets) if chapter <= work.chapter <= end]
    return inside[-1] if inside else None


def _next_exercise(one: Class, chapter: int, steps: int) -> int:
    end = chapter
    for c in range(chapter + 1, len(one.chapters)):
        if one.chapters[c].kind == "outro" or steps == 0:
            break
        if one.chapters[c].kind == "exercise":
            end, steps = c, steps - 1
    return end
