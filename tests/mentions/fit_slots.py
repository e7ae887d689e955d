#!/usr/bin/env python3
"""Fit the weights of ``pipeline.mentions.name_sounds`` to misheard names and to talk that names nothing.

    nice -n 15 python -m tests.mentions.fit_slots

Prints the weights, to be put into the module by hand. A place counts by the likelihood of what was spoken there:
one of the names of the exercise, or none. ``misheard_held_back.csv`` and the talk that ``measure`` takes for its
figures are not looked at.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterator, Sequence

import numpy as np
from scipy.optimize import minimize

import lexicon
from pipeline.mentions.name_sounds import WEIGHTS, NameSounds, name_sounds
from pipeline.mentions.slots import find_slots
from pipeline.mentions.tokens import Token, tokens_of
from tests.mentions.measure import LEARNT_FROM, talk_to_fit
from tests.mentions.speak_names import SENTENCES

FEATURES = list(WEIGHTS)
#: How strongly weights are drawn to their start; the weight of all talk against all names.
PULL, TALK_SHARE = 0.02, 0.5
#: What the weights are drawn to: a phoneme's difference halves the odds and more.
#: A difference never speaks for a name; the chief name of an exercise is the one spoken in the lists, which says
#: nothing of classes, so that its weight is judgement.
CHIEF = 0.7
BOUNDS = {"shared": (0.0, None), "chief": (CHIEF, CHIEF)}
START = {"cost": -0.8, "before": -0.5, "after": -0.5, "chief": CHIEF, "own": -1.0}
#: Names of nobody's, announced as in a class: none of them is listed, and none may be taken for one that is.
OWN_NAMES = """
harbour swing; lantern squat; pepper press; meadow reach; ribbon twist; marble march; pocket row; anchor hold;
candle lift; orchard walk; button tap; thunder step; saddle stretch; violin raise; copper crunch; pancake flip;
tunnel crawl; feather kick; signal raise; garden gate swing; postman walk; umbrella press; jelly wobble; library lean;
pebble toss; gravy stir; drawbridge lift; cabbage patch circle; picture frame press; traffic light hold; rowing boat
tip; paper plane balance; washing line reach; treasure chest squat; sailor salute; ticket puncher; needle step;
kitchen sink dip; weather vane turn; velvet plank; bucket pour; barrel hug; kite string pull; snow plough push
"""


class Place:
    """A place to learn from: what differs for every name and range, which of them are right."""

    def __init__(self, sounds: NameSounds, tokens: Sequence[Token], first: int, stop: int, right: str) -> None:
        compared = sounds.compare(tokens, first, stop)
        near = ~compared.apart.all(axis=0)
        self.size, self.features, self.apart = compared.size, compared.features[:, near], compared.apart[:, near]
        owners = [one.exercise for one, is_near in zip(compared.names, near, strict=True) if is_near]
        ids = {one: at for at, one in enumerate(dict.fromkeys(owners))}
        self.owner = np.array([ids[one] for one in owners], dtype=int)
        self.count = len(ids)
        self.right = ids.get(right) if right else None
        self.exact = any(sounds.is_right(tokens[at:end], one) for at, end in compared.ranges for one in compared.names)

    def log_likelihoods(self, weights: np.ndarray) -> tuple[np.ndarray, float]:
        """Return the log of each exercise's likelihood, and that of none."""
        best = np.full(self.count, -np.inf)
        if self.count:
            np.maximum.at(best, self.owner, np.where(self.apart, -np.inf, self.features @ weights[2:]).max(axis=0))
        none = weights[0] + weights[1] * self.size
        total = np.logaddexp.reduce([none, *best])
        return best - total, float(none - total)


def places_of(sounds: NameSounds, text: str, right: str) -> Iterator[Place]:
    """Yield the places of a text."""
    tokens = tokens_of(text.split())
    for first, stop in find_slots(tokens, 0, len(tokens)):
        yield Place(sounds, tokens, first, stop, right)


def main() -> int:
    """Print the fitted weights and what they give on what they were fitted to."""
    sounds = name_sounds(lexicon.load())
    named = list[list[Place]]()
    for path in LEARNT_FROM:
        with path.open(encoding="utf-8", newline="") as rows:
            named += [list(places_of(sounds, row["heard"], row["exercise"])) for row in csv.DictReader(rows)]
    named = [[one for one in places if one.right is not None] for places in named]
    talk = [one for one in places_of(sounds, " ".join(talk_to_fit()), "") if not one.exact]
    own = [" ".join(name.split()) for name in OWN_NAMES.split(";")]
    for number, name in enumerate(own):
        talk += places_of(sounds, SENTENCES[number % len(SENTENCES)].format(name), "")
    found = [places for places in named if places]
    print(f"{len(named)} misheard names, {len(found)} of them within reach; {len(talk)} places in talk")
    start = np.array([0.0, -0.5, *(START.get(name, 0.0) for name in FEATURES)])

    def cost(weights: np.ndarray) -> float:
        right = [max(one.log_likelihoods(weights)[0][one.right] for one in places) for places in found]
        none = [one.log_likelihoods(weights)[1] for one in talk]
        pull = PULL * float(((weights - start) ** 2).sum())
        return -float(np.mean(right)) - TALK_SHARE * float(np.mean(none)) + pull

    bounds = [(None, None), (None, None), *(BOUNDS.get(name, (None, 0.0)) for name in FEATURES)]
    fitted = minimize(cost, start, method="L-BFGS-B", bounds=bounds).x
    first = sum(1 for places in found if any(one.log_likelihoods(fitted)[0].argmax() == one.right for one in places))
    print(f"cost {cost(start):.3f} -> {cost(fitted):.3f}; {first} likeliest of {len(found)}")
    for name, weight in zip(["NONE", "NONE_LENGTH", *FEATURES], fitted, strict=True):
        print(f"{name:12} {weight:6.2f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
