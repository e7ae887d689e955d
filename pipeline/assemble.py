"""Puts a record together from what the rooms found: drafts become sets, mentions become numbers and cues."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from pipeline import chapters as chapter_room
from pipeline.audit import Settings, audit
from pipeline.chapter_names import Naming, Opening
from pipeline.counting.settle import counted_aloud
from pipeline.counting.side_words import Limb, SideSet
from pipeline.counting.sides import decide_sides
from pipeline.counting.still import moves, still_sets
from pipeline.model import Cue, CueKind, Number, Record, Role, WorkSet

if TYPE_CHECKING:
    from lexicon import Exercise, Lexicon
    from pipeline.counting.decode import Decoded
    from pipeline.counting.draft import Draft
    from pipeline.mentions.hear import Mentions

#: Done on one side, these work the leg that is stood on, or in front; a balance only where it is held.
_ONE_LEGGED = frozenset({"squat", "hinge", "lunge"})
_BALANCE = frozenset({"balance", "isometric hold"})
#: Prime movers of the legs, and of the arms: those limbs work where an exercise has none of the other.
_LEG_MUSCLES = frozenset(
    {
        "gluteus maximus", "gluteus medius", "gluteus minimus", "quadriceps", "hamstrings", "hip flexors", "adductors",
        "gastrocnemius", "soleus", "tibialis anterior", "deep hip rotators", "tensor fasciae latae", "foot muscles",
    }
)  # fmt: skip
_ARM_MUSCLES = frozenset(
    {
        "anterior deltoid", "middle deltoid", "posterior deltoid", "triceps brachii", "biceps brachii", "brachialis",
        "brachioradialis", "latissimus dorsi", "pectoralis major", "rhomboids", "trapezius", "forearm flexors",
        "forearm extensors", "rotator cuff", "teres major", "serratus anterior",
    }
)  # fmt: skip
#: A second read this surely (0 to 1) as counting a hold is one, whatever the exercise.
SURELY = 0.9
_CUES: tuple[CueKind, ...] = ("safety", "breathing", "option", "tempo", "form", "encouragement")


def assemble(
    mentions: Mentions,
    decoded: Decoded,
    openings: Sequence[Opening],
    namings: Sequence[Naming],
    drafts: Sequence[Draft],
    lexicon: Lexicon,
    settings: Settings | None,
) -> Record:
    """Make the record of one class."""
    transcript = mentions.transcript
    drafts = _with_sides(mentions, namings, drafts, lexicon)
    rounds = chapter_room.number_rounds(openings, namings, drafts)
    written = chapter_room.write_chapters(openings, namings, rounds, mentions, drafts, transcript.source.duration)
    exercises = [lexicon.exercises.get(namings[draft.chapter].exercise or "") for draft in drafts]
    stills = still_sets(drafts, exercises)
    sets = [
        _work_set(mentions, draft, namings[draft.chapter], rounds.of_chapter[draft.chapter], still)
        for draft, still in zip(drafts, stills, strict=True)
    ]
    moving = [moves(draft, exercise) for draft, exercise in zip(drafts, exercises, strict=True)]
    numbers = _numbers(mentions, decoded, drafts, sets, moving)
    findings = audit(transcript, written, sets, numbers, settings)
    return Record(
        transcript.source, transcript.title, tuple(written), tuple(sets), tuple(numbers), tuple(findings),
        tuple(_cues(mentions)), transcript.words, transcript.pieces, transcript.warnings,
    )  # fmt: skip


def side_sets(namings: Sequence[Naming], drafts: Sequence[Draft], lexicon: Lexicon) -> list[SideSet]:
    """Return the sets as the choice of sides sees them."""
    sets = []
    for draft in drafts:
        naming = namings[draft.chapter]
        exercise = lexicon.exercises.get(naming.exercise or "")
        name = naming.exercise or naming.name.lower()
        sided = exercise.sides if exercise is not None else ""
        sets.append(SideSet(draft.span, draft.gap, name, draft.chapter, sided, *_working_parts(exercise)))
    return sets


def _with_sides(
    mentions: Mentions, namings: Sequence[Naming], drafts: Sequence[Draft], lexicon: Lexicon
) -> list[Draft]:
    sides = decide_sides(mentions, side_sets(namings, drafts, lexicon))
    return [replace(draft, side=side) for draft, side in zip(drafts, sides, strict=True)]


def _working_parts(exercise: Exercise | None) -> tuple[bool, bool, Limb]:
    """Tell whether the leg stood on works, whether one lies on the side that does not, and which limb works."""
    if exercise is None:
        return False, False, ""
    pattern = frozenset(exercise.pattern)
    legs, arms = (bool(muscles & set(exercise.prime_movers)) for muscles in (_LEG_MUSCLES, _ARM_MUSCLES))
    limb: Limb = "" if legs == arms else "leg" if legs else "arm"
    if exercise.sides == "no":
        return False, False, limb
    return bool(_ONE_LEGGED & pattern) or pattern >= _BALANCE, "side-lying" in exercise.position, limb


def _work_set(mentions: Mentions, draft: Draft, naming: Naming, number: int | None, still: bool) -> WorkSet:
    words = (mentions.utterances[draft.span[0]].first, mentions.utterances[draft.span[1] - 1].stop)
    return WorkSet(
        draft.chapter, naming.exercise, naming.name, draft.side, draft.range, draft.unit, round(draft.start, 3),
        round(draft.end, 3), draft.target, draft.performed, number, draft.tempo,
        round(min(draft.confidence, max(naming.score, 0.2)), 3), draft.reps, naming.aliases, words,
        still, draft.pace,
    )  # fmt: skip


def _numbers(
    mentions: Mentions, decoded: Decoded, drafts: Sequence[Draft], sets: Sequence[WorkSet], moving: Sequence[bool]
) -> list[Number]:
    set_of = {i: s for s, draft in enumerate(drafts) for i in draft.numbers}
    aloud = {i for draft in drafts for i in counted_aloud(decoded, mentions, draft.numbers, least=2)}
    out: list[Number] = []
    for i, one in enumerate(mentions.numbers):
        role = decoded.roles[i]
        if role == "none":
            continue
        n: float | None = None if role in {"half", "other"} else one.value
        s = set_of.get(i)
        if role in {"hold", "clock"} and s is not None and sets[s].unit == "seconds":
            # Seconds counted aloud in a working interval tell the time, those of a still hold count it.
            surely_held = role == "hold" and decoded.role_chances[i, decoded.labels.index("hold")] >= SURELY
            if moving[s] or not (sets[s].still or surely_held):
                role = "clock"
            elif i in aloud:
                role = "hold"
        if role == "rep" and s is not None:
            n = float(drafts[s].n_of.get(i, int(one.value)))
        named: Role = role  # type: ignore[assignment]
        out.append(
            Number(
                round(one.time, 3), one.text, one.value, named, n, s, round(float(decoded.role_chances[i].max()), 3),
                one.words,
            )
        )  # fmt: skip
    return out


def _cues(mentions: Mentions) -> list[Cue]:
    """Keep each utterance that coaches, under the weightiest kind that it shows."""
    kinds: dict[int, set[str]] = {}
    for label, first, _ in mentions.signs:
        if label.startswith("cues/"):
            kinds.setdefault(mentions.utterance_of[first], set()).add(label[5:])
    out = []
    for at, found in sorted(kinds.items()):
        kind = next(k for k in _CUES if k in found)
        one = mentions.utterances[at]
        text = mentions.transcript.text((one.first, one.stop))
        out.append(Cue(round(one.start, 3), round(one.end, 3), kind, text, (one.first, one.stop)))
    return out
