"""The check for rounds that were announced and never came."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.audit.doubt import UNLIKELY
from pipeline.audit.evidence import Class, Mismatch, Place, plain
from pipeline.audit.settings import Settings
from pipeline.model import Finding, Number

#: How sure the check is at best: rounds are often announced for a block whose bounds must be guessed.
ROUNDS = 0.65
#: Presenters forget the last round; where less than this share was done, the number was said of something else.
ROUNDS_ALIKE = 0.5
#: What rounds are counted in: "three rounds", "two times through".
ROUND_WORDS = frozenset({"round", "rounds", "set", "sets", "times", "through", "lap", "laps", "visits", "goes"})


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
            "rounds-missing",
            Place(one.sets[last].end, last, call.words),
            Mismatch(
                f"{call.n:.0f} rounds",
                f"{runs} done",
                f"{call.n:.0f} rounds were announced, {runs} done ({one.chapters[chapter].exercise_name}).",
            ),
            (UNLIKELY if doubted else ROUNDS)
            * min(call.confidence, one.sets[last].confidence, one.chapters[chapter].confidence),
        )


def _announces_rounds(one: Class, call: Number) -> bool:
    """Tell "two rounds" and "twice" from "round two", "two to go", "the second go" and "two fewer"."""
    if _names_a_round(one, call):
        return False
    if plain(call.text) in {"twice", "thrice"}:
        return True
    after = one.transcript.words[call.words[1] - 1 : call.words[1] + 2]
    return not ROUND_WORDS.isdisjoint(part for word in after for part in plain(word.text).split("-"))


def _names_a_round(one: Class, call: Number) -> bool:
    """Tell "round two" and "two to go" from "two rounds"."""
    words = one.transcript.words
    before = plain(words[call.words[0] - 1].text) if call.words[0] else ""
    after = " ".join(plain(w.text) for w in words[call.words[1] : call.words[1] + 3])
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


def _rounds_of(one: Class, chapter: int) -> list[int]:
    """Return the chapters, from one on, in which its exercise is done."""
    wanted = one.exercise_of(chapter)
    return [
        c for c in range(chapter, len(one.chapters))
        if one.chapters[c].kind == "exercise" and one.exercise_of(c) == wanted and any(True for _ in one.sets_of(c))
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
    keys = [one.exercise_of(c) for c in inside]
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
    wanted = one.exercise_of(chapter)
    same = [
        c for c in range(chapter, len(one.chapters))
        if one.chapters[c].kind == "exercise" and one.exercise_of(c) == wanted
    ]  # fmt: skip
    cycle = {one.exercise_of(c) for c in range(same[0], same[-1]) if one.chapters[c].kind == "exercise"}
    end = same[-1]
    if len(same) == 1:
        end = _next_exercise(one, chapter, 1)
    else:
        for c in range(same[-1] + 1, len(one.chapters)):
            if one.chapters[c].kind == "rest":
                continue
            if one.chapters[c].kind != "exercise" or one.exercise_of(c) not in cycle:
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
