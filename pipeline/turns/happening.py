"""What speaks for and against a turn to another exercise between two sets.

The phrases are common practice, no source.
"""

from __future__ import annotations

import re
from collections import Counter
from functools import lru_cache
from math import log, prod, sqrt

from pipeline.chapter_names.stems import stem
from pipeline.turns.scene import Gap, Scene
from pipeline.turns.wording import SETUP

#: What is added to a chance before its logarithm is taken, so that nought has one.
LEAST = 0.003
#: The same for the chance that no sentence of a gap is a turn, and the surest that one sentence is.
LEAST_NONE, SUREST = 0.01, 0.999
#: Ten seconds are one unit of time; longer waits and sets than four of them, and more likeness than this, tell no more.
UNIT, LONGEST, MOST_LIKE = 10.0, 4.0, 3.0
#: More words that place one for an exercise than this tell no more.
MOST_SETUP = 6
#: Words with fewer letters do not tell gaps apart.
TELLING_LETTERS = 4
_OTHER = re.compile(r"\b(?:other|switch|swap|change)\b")
#: What goes on in place: "stay there", "tiny pulses", "the whole range".
_IN_PLACE = re.compile(
    r"\b(?:(?:stay|keep|hold) (?:there|it|up|down|low|still|here)|stays|pulses?|pulsing|range|tiny"
    r"|(?:top|bottom|upper|lower) half|half only|little ones|whole way|full ones)\b"
)
#: A part of the range of the same exercise: "bottom half only", "now the full range", "tiny ones".
_RANGE = re.compile(r"\b(?:half\b|lower|upper|full|whole|puls|tiny|little ones)")
#: A breath between two sets of one exercise: "ten seconds, shake it out".
_BREATHER = frozenset("breath breathe breaths seconds rest shake".split())
_SWAP = frozenset("swap switch change trade".split())
_ONESELF = frozenset({"i", "i'm", "i've", "my"})
#: A ladder, a pyramid or a set cut into clusters goes on with one exercise.
_STEP = re.compile(r"\b(?:rung|step|cluster|pyramid|ladder|top|summit|slot)\b")
_SIDES = frozenset({"left", "right"})
_SIDE_WORDS = _SIDES | {"other", "side", "sides"}


def of_gap(scene: Scene, gap: Gap) -> dict[str, float]:
    """Return the features of a gap, by name."""
    first, stop = gap.first, gap.begins + 1
    words, text = set(scene.tokens(first, stop)), scene.text(first, stop)
    quiet = scene.utterances[first - 1].end if first else 0.0
    found = {
        "always": 1.0,
        "turn chance": log(max(map(scene.chance, gap.places)) + LEAST),
        "nowhere a turn": log(prod(1 - min(SUREST, scene.chance(at)) for at in gap.places) + LEAST_NONE),
        "seconds between": min(LONGEST, (scene.utterances[gap.begins].start - quiet) / UNIT),
        "new name": bool(scene.exercises(first, stop) - scene.done_before(gap)),
        "doing": max((one.doing for named in scene.named[first:stop] for one in named), default=0.0),
        "sets up": min(MOST_SETUP, len(words & SETUP)),
        "one sentence between": gap.begins - first == 1,
        "same side": "same" in words and bool(words & _SIDE_WORDS),
        "a side": bool(words & _SIDES),
        "swap": bool(words & _SWAP),
        "range": _RANGE.search(text) is not None,
        "breather": bool(words & _BREATHER),
        "of oneself": bool(words & _ONESELF),
    }
    if gap.lead_in is not None:
        before = set(scene.tokens(gap.lead_in.start, gap.lead_in.stop))
        sides, sides_before = words & _SIDES, before & _SIDES
        found |= {
            "opposite side": len(sides) == len(sides_before) == 1 and sides != sides_before,
            "other": _OTHER.search(text) is not None,
            "step of a ladder": _STEP.search(text) is not None,
            "in place": _IN_PLACE.search(text) is not None,
            "like the last": _likeness(scene, gap),
            "seconds of the last": min(LONGEST, (quiet - scene.utterances[gap.lead_in.stop - 1].start) / UNIT),
        }
    return {name: float(value) for name, value in found.items() if value}


def _likeness(scene: Scene, gap: Gap) -> float:
    """Return how like a gap is to the one before it, by the rare words they share."""
    stems = _stems_of_gaps(scene)
    often = Counter(one for each in stems for one in each)
    at = scene.gaps.index(gap)
    shared: float = sum(log(len(stems) / often[one]) for one in stems[at] & stems[at - 1])
    return min(MOST_LIKE, shared / sqrt(1 + len(stems[at])))


@lru_cache(maxsize=1)
def _stems_of_gaps(scene: Scene) -> list[frozenset[str]]:
    last = len(scene.utterances)
    return [
        frozenset(
            stem(word) for word in scene.tokens(gap.first, min(gap.begins + 2, last)) if len(word) >= TELLING_LETTERS
        )
        for gap in scene.gaps
    ]
