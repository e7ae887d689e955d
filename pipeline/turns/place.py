"""What speaks for one sentence between two sets as the one that turns to the next exercise.

"Dumbbell down, kick the books away" looks back; "lighter weights now, for the reverse fly" turns. What is told of
oneself stands before the turn, and a pause after what looks back: putting weights down and changing place take time.
The phrases are common practice, no source.
"""

from __future__ import annotations

import re
from math import log

from pipeline.turns.happening import LEAST, UNIT
from pipeline.turns.scene import DONE, Gap, Scene
from pipeline.turns.wording import SETUP

#: Longer waits than this many units of time tell no more; sentences of so few words are short.
LONGEST, SHORT = 3.0, 3
#: Longer pauses than so many seconds, and more of a kind before a sentence than this, tell no more.
LONGEST_PAUSE, MOST_BEFORE = 3.0, 3.0
#: A name is as likely one of a list, to come later, where it is done no more and no less surely than this.
LISTED = (0.25, 0.55)
_BACK_WORDS = """
shake untie slide release relax rub wiggle unfold collapse flop drop lower lowered rest let loosen park parked roll wag
yawn stretch melt dump ditch off down aside away out done well carried through finished gorgeous lovely nice good that's
those there felt was were did you've they've i've
"""
#: Words that put something behind one.
_BACK = frozenset(_BACK_WORDS.split())
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
_BEGINS = re.compile(r"\bhere(?:'s| comes?)\b|\bnow for\b|\b(?:next|begin)\b|\bstart(?:s|ing)?\b|\bopen(?:s|ing)?\b")
_ONESELF = frozenset({"i", "i'm", "i've", "i'd", "my"})
#: Words that open a change of place: "onto your back", "up on your feet".
_WHERETO = frozenset("on onto up down over to into in from back out off against under".split())
_TWO_SENTENCES = re.compile(r"[.!?] \w")
_MOST_WORDS = {"sets up": 3, "looks back": 2, "brings up": 2}


def of_sentence(scene: Scene, gap: Gap, at: int) -> dict[str, float]:
    """Return the features of utterance ``at`` as the turn in a gap, by name."""
    words = scene.tokens(at, at + 1)
    text = " ".join(words)
    said = set(words)
    best = max(map(scene.chance, gap.places))
    until = min(LONGEST, (scene.utterances[gap.begins].start - scene.utterances[at].start) / UNIT)
    earlier = range(gap.places.start, at)
    found = {
        "turn chance": log(scene.chance(at) + LEAST) - log(best + LEAST),
        "second": at == gap.places.start + 1,
        "until the set": until,
        "until the set squared": until**2,
        "sets up": _count(said, SETUP, "sets up"),
        "looks back": _count(said, _BACK, "looks back"),
        "posture": any(sign.startswith("posture/") for sign in scene.signs[at]),
        "overview": _lists_exercises(scene, at),
        "numbered": _NUMBERED.search(text) is not None,
        "now": bool(said & _NOW),
        "begins": _BEGINS.search(text) is not None,
        "opens with a place": words[0] in _WHERETO,
        "two sentences": _TWO_SENTENCES.search(scene.written(at)) is not None,
        "pause after": _pause_after(scene, at),
        "new names are past": _names_are_past(scene, gap, at),
        "read as after": scene.chance(at, "after"),
        "read as after before": min(MOST_BEFORE, sum(scene.chance(one, "after") for one in earlier)),
        "looked back before": min(MOST_BEFORE, sum(_looks_back(scene, one) for one in earlier)),
        "of oneself before": min(MOST_BEFORE, sum(bool(_ONESELF & {*scene.tokens(one, one + 1)}) for one in earlier)),
    }
    if earlier:
        before = scene.tokens(at - 1, at)
        found["brought up just before"] = _count(set(before), _THING, "brings up")
        found["short just before"] = len(before) <= SHORT
        found["read as after just before"] = scene.chance(at - 1, "after")
    if at < gap.begins:
        found["sets up after"] = _count(set(scene.tokens(at + 1, at + 2)), SETUP, "sets up")
    return {name: float(value) for name, value in found.items() if value}


def _count(said: set[str], words: frozenset[str], kind: str) -> int:
    return min(_MOST_WORDS[kind], len(said & words))


def _looks_back(scene: Scene, at: int) -> int:
    return _count(set(scene.tokens(at, at + 1)), _BACK, "looks back")


def _pause_after(scene: Scene, at: int) -> float:
    """Return the seconds until the next utterance begins."""
    if at + 1 == len(scene.utterances):
        return 0.0
    return min(LONGEST_PAUSE, max(0.0, scene.utterances[at + 1].start - scene.utterances[at].end))


def _names_are_past(scene: Scene, gap: Gap, at: int) -> bool:
    """Return whether something new is named in a gap, and all of it before an utterance."""
    done = scene.done_before(gap)
    stop = gap.begins + 1
    return bool(scene.exercises(gap.places.start, stop) - done) and not scene.exercises(at, stop) - done


def _lists_exercises(scene: Scene, at: int) -> bool:
    """Return whether a sentence goes through several exercises, of which the first one is still to be turned to."""
    named = scene.named[at]
    doubtful = sum(LISTED[0] < one.doing < LISTED[1] for one in named)
    return doubtful > 1 or len({one.name for one in named if one.doing >= DONE}) > 1
