"""Chapters: where the class turns to each exercise, what it is called, and which round it is.

A chapter starts where the presenter turns to an exercise (names it or sets it up). A return to it in a later
round is a new chapter; an announced rest is one of kind ``rest``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from pipeline.chapter_names import UNNAMED, Naming, Opening
from pipeline.counting.decode import Decoded
from pipeline.counting.draft import Draft
from pipeline.counting.phases import PHASES
from pipeline.mentions.hear import Mentions
from pipeline.model import Chapter, ChapterKind
from pipeline.turns import choose_turns

_KINDS: dict[str, ChapterKind] = {"turn": "exercise", "rest": "rest", "close": "outro"}


#: An exercise named this surely between two sets is a new one; a little less will do where a turn is likely anyway.
NEW, KNOWN, LIKELY_TURN = 0.6, 0.35, 0.2
_SIDES = frozenset("side sides left right other swap switch".split())
#: Between two sets a turn is opened where one is this likely (0 to 1) at any of the utterances taken together.
SOMEWHERE = 0.4
#: A sentence that is this likely the first of the outro (0 to 1) is, though a later one is likelier.
LIKELY_CLOSE = 0.35


def open_chapters(decoded: Decoded, mentions: Mentions) -> list[Opening]:
    """Find where chapters start; the first one starts with the first utterance."""
    count = len(decoded.phases)
    kinds = {at: _KINDS[phase] for at, phase in enumerate(decoded.phases) if phase in _KINDS and at > 0}
    turns = {at for at, kind in kinds.items() if kind == "exercise"}
    source = mentions.transcript.source
    if source.timing == "coarse" or source.kind == "media":
        chosen = turns | set(_turns_between_sets(decoded, mentions, sorted(kinds)))
        chosen -= _other_sides(decoded, mentions, sorted(kinds))
    else:
        worked = decoded.spans[-1][0] if decoded.spans else 0
        chosen = {at for at in turns if at > worked} | set(choose_turns(decoded, mentions))
    kinds = {at: kind for at, kind in kinds.items() if kind != "exercise"} | dict.fromkeys(chosen, "exercise")
    kinds = _with_prompt_close(decoded, kinds)
    out = []
    for first, stop in pairwise([0, *sorted(kinds), count]):
        kind = kinds.get(first) or (_first_kind(decoded, stop) if count else "intro")
        chance = float(decoded.phase_chances[first].max()) if count else 0.0
        out.append(Opening(first, stop, kind, chance))
    return out


def _first_kind(decoded: Decoded, stop: int) -> ChapterKind:
    """Return what the class starts with, which need not be a welcome, in utterances up to ``stop``."""
    if decoded.phases[0] in _KINDS:
        return _KINDS[decoded.phases[0]]
    return "exercise" if {"begin", "work", "setup"} & set(decoded.phases[:stop]) else "intro"


def _with_prompt_close(decoded: Decoded, kinds: dict[int, ChapterKind]) -> dict[int, ChapterKind]:
    """Open the outro with the first sentence after the last set that is likely its first: "And stand. …"."""
    worked = decoded.spans[-1][1] if decoded.spans else 0
    last = max((at for at, kind in kinds.items() if kind == "outro"), default=0)
    close = PHASES.index("close")
    sooner = [at for at in range(max(1, worked), last) if decoded.phase_chances[at, close] >= LIKELY_CLOSE]
    if not sooner or any(at in kinds for at in range(sooner[0], last)):
        return kinds
    return {at: kind for at, kind in kinds.items() if at != last} | {sooner[0]: "outro"}


def _turns_between_sets(decoded: Decoded, mentions: Mentions, starts: Sequence[int]) -> list[int]:
    """Find the turns that the phases missed: another exercise is named between two sets of one chapter."""
    turn = PHASES.index("turn")
    found: list[int] = []
    for (begun, ended), (begins, _) in pairwise(decoded.spans):
        if any(ended <= at <= begins for at in starts):
            continue
        opened = max((at for at in [0, *starts, *found] if at <= begun), default=0)
        known = _named(mentions, opened, ended, KNOWN)
        for at in range(ended, begins + 1):
            new = _named(mentions, at, at + 1, NEW if decoded.phase_chances[at, turn] < LIKELY_TURN else KNOWN) - known
            if new and known:
                found.append(at)
                break
        else:
            chances = decoded.phase_chances[ended : begins + 1, turn]
            if chances.sum() >= SOMEWHERE:
                found.append(ended + int(chances.argmax()))
    return found


def _other_sides(decoded: Decoded, mentions: Mentions, starts: Sequence[int]) -> set[int]:
    """Find the turns that only change sides: "same row, other side" between two sets, and nothing new is named."""
    found: set[int] = set()
    for (begun, ended), (begins, _) in pairwise(decoded.spans):
        inside = [at for at in starts if ended <= at <= begins]
        if len(inside) != 1 or decoded.phases[inside[0]] != "turn":
            continue
        said = set(mentions.tokens[mentions.utterances[ended].first : mentions.utterances[begins].stop])
        opened = max((at for at in [0, *starts] if at <= begun), default=0)
        new = _named(mentions, ended, begins + 1, KNOWN) - _named(mentions, opened, ended, KNOWN)
        if "same" in said and said & _SIDES and not new:
            found.update(inside)
    return found


def _named(mentions: Mentions, first: int, stop: int, doing: float) -> set[str]:
    return {
        one.exercise
        for one in mentions.exercises
        if one.exercise is not None
        and one.doing >= doing
        and one.heard != "sound"
        and first <= mentions.utterance_of[one.words[0]] < stop
    }


@dataclass
class Rounds:
    """Which round each chapter is, and of how many."""

    of_chapter: list[int | None] = field(default_factory=list)
    total: list[int | None] = field(default_factory=list)


def number_rounds(openings: Sequence[Opening], namings: Sequence[Naming], drafts: Sequence[Draft]) -> Rounds:
    """Number the rounds of each exercise; one that is done once has no number.

    A return to the side that the round still lacks belongs to it: left and then right are one round.
    """
    sides: list[set[str | None]] = [set() for _ in openings]
    for draft in drafts:
        sides[draft.chapter].add(draft.side)
    keys = [
        naming.exercise or naming.name.lower() if opening.kind == "exercise" and naming.name != UNNAMED else None
        for opening, naming in zip(openings, namings, strict=True)
    ]
    done: dict[str, list[set[str | None]]] = {}
    numbers: list[int | None] = []
    for key, own in zip(keys, sides, strict=True):
        if key is None:
            numbers.append(None)
            continue
        rounds = done.setdefault(key, [])
        if rounds and own and rounds[-1] and None not in own | rounds[-1] and not own & rounds[-1]:
            rounds[-1] |= own
        else:
            rounds.append({*own})
        numbers.append(len(rounds))
    totals = [len(done[key]) if key is not None and len(done[key]) > 1 else None for key in keys]
    return Rounds([None if total is None else n for n, total in zip(numbers, totals, strict=True)], totals)


def write_chapters(
    openings: Sequence[Opening],
    namings: Sequence[Naming],
    rounds: Rounds,
    mentions: Mentions,
    drafts: Sequence[Draft],
    duration: float,
) -> list[Chapter]:
    """Make the chapters of the record: their bounds in seconds, titles, and evidence."""
    out: list[Chapter] = []
    starts = [0.0 if c == 0 else mentions.utterances[one.first].start for c, one in enumerate(openings)]
    for c, (opening, naming) in enumerate(zip(openings, namings, strict=True)):
        end = starts[c + 1] if c + 1 < len(starts) else max(duration, starts[c])
        own = [d for d in drafts if d.chapter == c]
        title = _title(opening, naming, own, rounds.of_chapter[c], rounds.total[c], end - starts[c])
        words = (mentions.utterances[opening.first].first, mentions.utterances[opening.stop - 1].stop)
        out.append(
            Chapter(
                round(starts[c], 3), round(end, 3), opening.kind, title, naming.exercise, naming.name, naming.aliases,
                rounds.of_chapter[c], round(min(opening.chance, max(naming.score, 0.1)), 3), words, rounds.total[c],
                naming.equipment, naming.muscles,
            )
        )  # fmt: skip
    return out


def _title(
    opening: Opening,
    naming: Naming,
    own: Sequence[Draft],
    number: int | None,
    total: int | None,
    length: float,
) -> str:
    if opening.kind == "intro":
        return "Welcome"
    if opening.kind == "rest":
        return f"Rest, {round(length)} seconds" if length < 90 else "Rest"
    if opening.kind == "outro":
        return "Cool-down and goodbye"
    parts = [naming.name[:1].upper() + naming.name[1:]]
    amount = _amount(own)
    if amount:
        parts.append(amount)
    if number is not None and total is not None:
        parts.append(f"round {number} of {total}")
    return ", ".join(parts)


def _amount(own: Sequence[Draft]) -> str:
    """What a viewer wants to know of a chapter's sets: "12 reps", "8 reps a side", "30 seconds"."""
    if not own:
        return ""
    goals = [(d.target if d.target is not None else d.performed, d.unit) for d in own]
    if any(value is None for value, _ in goals):
        return ""
    sides = {d.side for d in own} - {None}
    same = len(set(goals)) == 1
    value, unit = goals[0]
    noun = ("rep" if unit == "reps" else "second") + ("" if value == 1 else "s")
    if same and len(sides) == 2 and len(own) == 2:
        return f"{value} {noun} a side"
    if len(own) == 1:
        return f"{value} {noun}"
    if len({u for _, u in goals}) == 1 and len(own) <= 4 and len(sides) < 2:
        return " + ".join(str(v) for v, _ in goals) + f" {noun if value != 1 else noun + 's'}"
    return ""
