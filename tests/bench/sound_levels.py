"""Whether loudness tells where something begins: levels of utterances at starts of chapters and sets, and of others.

Of two utterances, one at a start and one not, how often is the first the louder one? Half the time means that loudness
tells nothing; the same is asked of the change from the utterance before, and of the pause before it.
"""

from __future__ import annotations

import wave
from collections import defaultdict
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pipeline.mentions.hear import Mentions
from pipeline.transcripts.recognition.audio import RATE
from tests.bench.corpus import GoldClass

SHORTEST = 0.1
"""Seconds that are listened to of a word, however short it was heard."""

CUES = ("level", "change of level", "pause before")
KINDS = ("chapter", "set", "other")
Cues = tuple[float, float, float]


def cues(one: GoldClass, mentions: Mentions, sound: Path) -> dict[str, list[Cues]]:
    """Return the cues of each utterance of a spoken class, by what it begins: decibels, decibels, seconds."""
    with wave.open(str(sound)) as reader:
        samples = np.frombuffer(reader.readframes(reader.getnframes()), "<i2").astype(np.float64)
    starts = [utterance.start for utterance in mentions.utterances]
    begins = dict.fromkeys(_nearest(starts, [each["start"] for each in one.gold["sets"]]), "set")
    begins |= dict.fromkeys(_nearest(starts, [each["start"] for each in one.gold["chapters"][1:]]), "chapter")
    found: dict[str, list[Cues]] = defaultdict(list)
    before, ended = None, 0.0
    for index, utterance in enumerate(mentions.utterances):
        level = _level(samples, utterance.start, utterance.end)
        change = 0.0 if before is None else level - before
        found[begins.get(index, "other")].append((level, change, utterance.start - ended))
        before, ended = level, utterance.end
    return found


def rows(found: Sequence[dict[str, list[Cues]]]) -> Iterator[str]:
    """Give a row a kind of start, over classes: how often each cue is greater there than at another utterance."""
    pooled = {kind: np.array([cue for one in found for cue in one[kind]]) for kind in KINDS}
    for kind in KINDS[:2]:
        shares = [_share_greater(pooled[kind][:, k], pooled["other"][:, k]) for k in range(len(CUES))]
        yield f"| {kind} | {len(pooled[kind])} | " + " | ".join(f"{share:.2f}" for share in shares) + " |"


def _level(samples: NDArray[np.float64], start: float, end: float) -> float:
    part = samples[round(start * RATE) : round(max(end, start + SHORTEST) * RATE)]
    return float(10 * np.log10(np.mean(part**2) + 1))


def _nearest(starts: Sequence[float], times: Sequence[float]) -> list[int]:
    return [min(range(len(starts)), key=lambda i: abs(starts[i] - time)) for time in times]


def _share_greater(some: NDArray[np.float64], others: NDArray[np.float64]) -> float:
    """Return the share of pairs in which the first is greater, ties counted half."""
    ordered = np.sort(others)
    below, upto = np.searchsorted(ordered, some, "left"), np.searchsorted(ordered, some, "right")
    return float(np.mean((below + upto) / 2) / len(others))
