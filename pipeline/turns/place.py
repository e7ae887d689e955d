"""What speaks for one sentence between two sets as the one that turns to the next exercise.

"Dumbbell down, kick the books away" looks back; "lighter weights now, for the reverse fly" turns. The phrases are
common practice, no source.
"""

from __future__ import annotations

import re
from math import log

from pipeline.turns.happening import LEAST, UNIT
from pipeline.turns.scene import DONE, Gap, Scene

#: Longer waits than this many units of time tell no more; sentences of so few words are short.
LONGEST, SHORT = 3.0, 3
#: A name is as likely one of a list, to come later, where it is done no more and no less surely than this.
LISTED = (0.25, 0.55)
_BACK_WORDS = """
shake untie slide release relax rub wiggle unfold collapse flop drop lower lowered rest let loosen park parked roll wag
yawn stretch melt dump ditch off down aside away out done well carried through finished gorgeous lovely nice good that's
those there felt was were did you've they've i've
"""
#: Words that put something behind one.
_BACK = frozenset(_BACK_WORDS.split())
_SETUP_WORDS = """
feet foot hands hand knees knee elbows elbow forearms heels toes palms fingertips hip-width wide width shoulders under
front behind facing face floor mat chair seat bench wall bar edge grab take hold tie loop hook wrap pick bring step lie
sit kneel stand come final last next first now time here
"""
#: Words with which one is placed for an exercise.
_SETUP = frozenset(_SETUP_WORDS.split())
_THING_WORDS = """
called it's this another new heavier lighter medium pair weight weights dumbbell dumbbells bell band kettlebell barbell
one both
"""
#: Words with which something new, or what it is done with, is brought up.
_THING = frozenset(_THING_WORDS.split())
_NOW = frozenset({"now", "okay", "right", "so", "then", "next"})
_NUMBERED = re.compile(
    r"\b(?:set|round|lap|part|rung|minute|station|block|move|number) (?:one|two|three|four|five|six|seven|eight|\d)\b"
    r"|\b(?:first|second|third|fourth|last|final|next|closing|opening) \w+\b"
)
_MOST_WORDS = {"sets up": 3, "looks back": 2, "brings up": 2}


def of_sentence(scene: Scene, gap: Gap, at: int) -> dict[str, float]:
    """Return the features of utterance ``at`` as the turn in a gap, by name."""
    words = scene.tokens(at, at + 1)
    text = " ".join(words)
    said = set(words)
    best = max(map(scene.chance, gap.places))
    until = min(LONGEST, (scene.utterances[gap.begins].start - scene.utterances[at].start) / UNIT)
    new = scene.exercises(at, at + 1) - scene.done_before(gap) - scene.exercises(gap.places.start, at)
    found = {
        "turn chance": log(scene.chance(at) + LEAST) - log(best + LEAST),
        "first": at == gap.places.start,
        "second": at == gap.places.start + 1,
        "until the set": until,
        "until the set squared": until**2,
        "sets up": _count(said, _SETUP, "sets up"),
        "looks back": _count(said, _BACK, "looks back"),
        "posture": any(sign.startswith("posture/") for sign in scene.signs[at]),
        "new name": bool(new),
        "overview": _lists_exercises(scene, at),
        "numbered": _NUMBERED.search(text) is not None,
        "now": bool(said & _NOW),
        "opens with and": words[0] == "and",
        "short": len(words) <= SHORT,
        "number of rounds": "rounds" in scene.roles[at],
    }
    if at > gap.places.start:
        found["brought up before"] = _count(set(scene.tokens(at - 1, at)), _THING, "brings up")
    if at < gap.begins:
        found["sets up after"] = _count(set(scene.tokens(at + 1, at + 2)), _SETUP, "sets up")
    return {name: float(value) for name, value in found.items() if value}


def _count(said: set[str], words: frozenset[str], kind: str) -> int:
    return min(_MOST_WORDS[kind], len(said & words))


def _lists_exercises(scene: Scene, at: int) -> bool:
    """Return whether a sentence goes through several exercises, of which the first one is still to be turned to."""
    named = scene.named[at]
    doubtful = sum(LISTED[0] < one.doing < LISTED[1] for one in named)
    return doubtful > 1 or len({one.name for one in named if one.doing >= DONE}) > 1
