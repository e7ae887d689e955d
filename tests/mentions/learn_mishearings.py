#!/usr/bin/env python3
"""Learn which sounds a small speech model writes for which, from names that it misheard.

    nice -n 15 python -m tests.mentions.learn_mishearings

Aligns the sounds of each name spoken with those of what was heard, counts what stands against what, and writes the
counts to ``pipeline/mentions/mishearing_counts.py``; done a few times over, as better counts align better.
``misheard_held_back.csv`` is not looked at.
"""

from __future__ import annotations

import csv
import sys
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path

from pipeline.mentions import mishearing, mishearing_counts
from pipeline.mentions.mishearing import LOST, SOUNDS, Costs, costs_of
from pipeline.mentions.name_sounds import sounds_of
from pipeline.mentions.sounds import phonemes
from pipeline.mentions.tokens import name_tokens, tokens_of
from tests.mentions.measure import LEARNT_FROM

OUT = Path(mishearing_counts.__file__)
ROUNDS = 4
#: A pair tells nothing where fewer of a name's sounds than this share were heard right: the alignment is by chance.
LEAST_RIGHT = 0.25
#: What a sound that is aligned with another one gains over being left out, so that the whole name finds a place.
ALIGNED = 1.5
#: Before anything is known: what a right sound, a wrong one, a lost one and one put in count of a hundred.
RIGHT, WRONG = 60.0, 0.4

_HEAD = '''"""What a small speech model wrote for the sounds of names: made by ``tests.mentions.learn_mishearings``.

For each sound spoken (a letter a phoneme, as in ``sounds.py``), the sounds heard and how often; ``-`` where none was
heard, and under ``-`` what was heard where none was spoken.
"""

HEARD_FOR = {
'''


def pairs(files: Iterable[Path]) -> list[tuple[str, str]]:
    """Return the sounds of each name spoken and those of the whole sentence heard."""
    found = []
    for path in files:
        with path.open(encoding="utf-8", newline="") as rows:
            for row in csv.DictReader(rows):
                name = "".join(phonemes(token.text) for token in name_tokens(row["name"]))
                found.append((name, "".join(sounds_of(tokens_of(row["heard"].split())))))
    return found


def align(costs: Costs, name: str, heard: str) -> list[tuple[str, str]]:
    """Return the sounds of a name beside those heard for them, anywhere in a sentence."""
    substitution, deletion, insertion = costs.substitution.tolist(), costs.deletion.tolist(), costs.insertion.tolist()
    said, written = [SOUNDS.index(one) for one in name], [SOUNDS.index(one) for one in heard]
    costed: list[list[float]] = [[0.0] * (len(written) + 1)]
    back: list[list[str]] = [[""] * (len(written) + 1)]
    for i, one in enumerate(said):
        above, row, ways = costed[-1], list[float](), list[str]()
        for j in range(len(written) + 1):
            best, way = above[j] + deletion[one], "lost"
            if j:
                changed = above[j - 1] + substitution[one][written[j - 1]] - ALIGNED
                if changed < best:
                    best, way = changed, "changed"
                put_in = row[j - 1] + insertion[written[j - 1]]
                if i + 1 < len(said) and put_in < best:
                    best, way = put_in, "put in"
            row.append(best)
            ways.append(way)
        costed.append(row)
        back.append(ways)
    i, j, found = len(said), min(range(len(written) + 1), key=costed[-1].__getitem__), list[tuple[str, str]]()
    while i:
        way = back[i][j]
        i, j = i - (way != "put in"), j - (way != "lost")
        found.append((LOST if way == "put in" else name[i], LOST if way == "lost" else heard[j]))
    return found


def count(costs: Costs, spoken: Sequence[tuple[str, str]]) -> dict[str, Counter[str]]:
    """Return how often each sound was heard for each."""
    counts = {one: Counter[str]() for one in (*SOUNDS, LOST)}
    for name, heard in spoken:
        aligned = align(costs, name, heard)
        if sum(a == b for a, b in aligned) >= LEAST_RIGHT * len(name):
            for a, b in aligned:
                counts[a][b] += 1
    return counts


def learn(spoken: Sequence[tuple[str, str]]) -> dict[str, Counter[str]]:
    """Return the counts, after some rounds of aligning by those of the round before."""
    counts = {one: Counter({other: RIGHT if one == other else WRONG for other in (*SOUNDS, LOST)}) for one in SOUNDS}
    counts[LOST] = Counter(dict.fromkeys(SOUNDS, WRONG))
    for _ in range(ROUNDS):
        counts = count(costs_of(counts), spoken)
    return counts


def written(counts: dict[str, Counter[str]]) -> str:
    """Return the counts as the module keeps them."""
    lines = []
    for one, heard in counts.items():
        most = sorted(heard.items(), key=lambda pair: (-pair[1], pair[0]))
        lines.append(f'    "{one}": "{" ".join(f"{other}{times}" for other, times in most)}",\n')
    return _HEAD + "".join(lines) + "}\n"


def main() -> int:
    """Write the counts."""
    text = written(learn(pairs(LEARNT_FROM)))
    part = OUT.with_suffix(".part")
    part.write_text(text, encoding="utf-8")
    part.replace(OUT)
    mishearing.costs.cache_clear()
    return 0


if __name__ == "__main__":
    sys.exit(main())
