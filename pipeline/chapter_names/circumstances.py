"""What speaks for an exercise before it is named: where in its chapter, its unit, its equipment, its posture."""

from __future__ import annotations

from lexicon import Exercise
from pipeline.chapter_names.room import ChapterTalk, NamingRoom

# Judgement, fitted by eye on annotated classes; added to a score of 0 to about 1.2.
#: The naming sentence is usually the first or second of a chapter.
EARLY = (0.1, 0.08, 0.04)
#: Reps of what is usually held speak against a name.
WRONG_UNIT = 0.2
#: A name whose equipment the class never speaks of, or whose posture is another one.
WRONG_EQUIPMENT, WRONG_POSTURE, RIGHT_POSTURE = 0.12, 0.06, 0.04

_LOOSE_EQUIPMENT = frozenset({"none", "mat", "cushion", "block"})
_POSTURES = {
    "seated": {"seated"}, "standing": {"standing", "bent over", "supported"}, "lying": {"supine"},
    "side-lying": {"side-lying", "side plank"}, "prone": {"prone", "plank"},
    "kneeling": {"kneeling", "half-kneeling", "hands and knees"}, "half-kneeling": {"half-kneeling"},
    "bent-over": {"bent over", "standing"},
}  # fmt: skip


def prior(room: NamingRoom, talk: ChapterTalk, exercise: Exercise) -> float:
    """Return what unit, equipment and posture add to or take from an exercise."""
    found = 0.0
    if "reps" in talk.units and exercise.unit != "reps":
        found -= WRONG_UNIT
    equipment = set(exercise.equipment)
    if not _LOOSE_EQUIPMENT & equipment and not room.equipment & equipment:
        found -= WRONG_EQUIPMENT
    expected = _POSTURES.get(talk.posture)
    if expected:
        found += RIGHT_POSTURE if expected & set(exercise.position) else -WRONG_POSTURE
    return found
