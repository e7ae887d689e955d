"""Turns: where, between two sets, the class turns to another exercise, if it does.

The reading of phases says how likely each sentence is a turn. Two small choices, each a sum of few weights, make
the most of it: is there a turn between these two sets at all (and not only the other side, a pulse, a breath), and
which sentence is it. The weights lie in ``weights.json``; ``tests/bench/fit_turns.py`` fits them from annotated
classes.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import lru_cache
from math import exp
from pathlib import Path

from pipeline.counting.decode import Decoded
from pipeline.mentions.hear import Mentions
from pipeline.turns.happening import of_gap
from pipeline.turns.place import of_sentence
from pipeline.turns.scene import Gap, Scene

__all__ = ["Scene", "Weights", "chance_of_turn", "choose_turns", "likeliest_place"]

Weights = Mapping[str, Mapping[str, float]]

LIKELY = 0.5
"""A turn is opened where one is this likely (0 to 1): of classes left out, chapters and names of sets come out best."""


@lru_cache(maxsize=1)
def load_weights() -> Weights:
    """Load the shipped weights: ``happening`` and ``place``, each a weight a feature."""
    weights: Weights = json.loads(Path(__file__).with_name("weights.json").read_text("utf-8"))
    return weights


def choose_turns(decoded: Decoded, mentions: Mentions, weights: Weights | None = None) -> list[int]:
    """Return the utterances at which an exercise is turned to before a set, in order.

    ``weights`` default to the shipped ones. After a rest the class always turns to something. Where the phases read
    more than one turn between two sets, a set was missed, and they stay. The words have to be well timed and well
    heard: else the sets are too blurred for what lies between them to tell much.
    """
    weights = weights or load_weights()
    scene = Scene(decoded, mentions)
    turns: list[int] = []
    for gap in scene.gaps:
        read = [at for at in gap.places if decoded.phases[at] == "turn"]
        if len(read) > 1:
            turns += read
        elif gap.rests or chance_of_turn(scene, gap, weights) >= LIKELY:
            turns.append(likeliest_place(scene, gap, weights))
    return turns


def chance_of_turn(scene: Scene, gap: Gap, weights: Weights) -> float:
    """Return how likely (0 to 1) the class turns to an exercise in a gap."""
    return 1.0 / (1.0 + exp(-_sum(of_gap(scene, gap), weights["happening"])))


def likeliest_place(scene: Scene, gap: Gap, weights: Weights) -> int:
    """Return the utterance of a gap at which the turn is likeliest, if there is one."""
    return max(gap.places, key=lambda at: _sum(of_sentence(scene, gap, at), weights["place"]))


def _sum(features: Mapping[str, float], weights: Mapping[str, float]) -> float:
    return sum(value * weights.get(name, 0.0) for name, value in features.items())
