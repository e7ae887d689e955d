"""Measures the exercise matcher on coach sentences: ``python -m tests.mentions.measure``.

``sentences.csv`` holds sentences written by hand before the matcher was tuned, half of them traps.
It also tells how many names that a small speech model misheard (``misheard.csv``) are recovered as chapters' names,
and how many names are heard by ear in talk that holds none: what is said in the annotated classes outside the
exercises, and Python's own reference topics, prose of somebody else's.

``expected`` is the id of the exercise that is being done (several that are as right with ``|``, two in one
sentence with ``;``), ``*`` an exercise that no list holds, empty where nothing is done.
"""

from __future__ import annotations

import csv
import re
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from pydoc_data.topics import topics
from time import process_time

import lexicon
from pipeline.chapter_names import Opening, name_chapters
from pipeline.mentions.exercises import ExerciseMatcher
from pipeline.mentions.hear import Listener
from pipeline.mentions.tokens import key_of
from pipeline.model import Source, Transcript, Word
from tests.bench.corpus import load_classes

SENTENCES = Path(__file__).with_name("sentences.csv")
MISHEARD = Path(__file__).with_name("misheard.csv")
FURTHER = Path(__file__).with_name("misheard_further.csv")
OTHER_SENTENCES = Path(__file__).with_name("misheard_other_sentences.csv")
LEARNT_FROM = (MISHEARD, FURTHER, OTHER_SENTENCES)
HELD_BACK = Path(__file__).with_name("misheard_held_back.csv")


@dataclass(frozen=True)
class Figures:
    """What the matcher got right: shares from 0 to 1, and the sentences that it got wrong."""

    precision: float
    recall: float
    by_kind: dict[str, tuple[int, int]]
    misses: tuple[str, ...]


def measure(matcher: ExerciseMatcher, file: Path = SENTENCES) -> Figures:
    """Score the mentions that count as done (``doing`` of 0.5 or more) against the sentences of a file."""
    right = found = wanted = 0
    good, total, misses = Counter[str](), Counter[str](), list[str]()
    with file.open(encoding="utf-8", newline="") as rows:
        for row in csv.DictReader(rows):
            expected = [set(one.split("|")) for one in row["expected"].split(";") if one]
            mentions = [one for one in matcher.find(row["sentence"].split()) if one.doing >= 0.5]
            done = {one.exercise or "*" for one in mentions}
            hits = sum(1 for one in expected if one & done)
            surplus = sum(1 for one in done if not any(one in right_ones for right_ones in expected))
            right, found, wanted = right + hits, found + hits + surplus, wanted + len(expected)
            total[row["kind"]] += 1
            if hits == len(expected) and not surplus:
                good[row["kind"]] += 1
            else:
                misses.append(f"{row['kind']}: {row['sentence']} | {row['expected'] or '-'} | {done or '-'}")
    kinds = {kind: (good[kind], total[kind]) for kind in total}
    return Figures(right / max(found, 1), right / max(wanted, 1), kinds, tuple(misses))


def recovered(file: Path = MISHEARD) -> float:
    """Return the share of the misheard names of a file that become the name of the chapter that they announce."""
    known = lexicon.load()
    listener, right, total = Listener(known), 0, 0
    with file.open(encoding="utf-8", newline="") as rows:
        for row in csv.DictReader(rows):
            words = tuple(Word(word, 0.4 * k, 0.4 * k + 0.4) for k, word in enumerate(row["heard"].split()))
            source = Source("names.json", "recognizer", "word", 0.4 * len(words))
            mentions = listener.hear(Transcript(source, words, ()))
            opening = Opening(0, len(mentions.utterances), "exercise", 1.0)
            (naming,) = name_chapters([opening], mentions, (), known)
            names = {key_of(name) for name in (naming.name, *naming.aliases)}
            right += naming.exercise == row["exercise"] or key_of(row["name"]) in names
            total += 1
    return right / max(total, 1)


def heard_in_talk(matcher: ExerciseMatcher, words: Sequence[str]) -> list[str]:
    """Return what is heard by ear, as done now, in talk that names no exercise."""
    return [
        f"{one.text} -> {one.name}"
        for one in matcher.find(words)
        if one.heard in {"spelling", "sound"} and one.doing >= 0.5
    ]


def talk_of_classes(part: int = 0) -> list[str]:
    """Return the words said outside the exercises in every second annotated class, from class ``part`` (0, 1) on."""
    words = []
    for one in load_classes()[part::2]:
        spoken = one.forms["captions"].words
        for chapter in one.gold["chapters"]:
            if chapter["kind"] != "exercise":
                words += [word.text for word in spoken if chapter["start"] <= word.start < chapter["end"]]
    return words


def prose(part: int = 0) -> list[str]:
    """Return the words of every second of Python's reference topics, from topic ``part`` (0 or 1) on."""
    return re.sub(r"[^\w\s'.,;:!?-]", " ", " ".join(list(topics.values())[part::2])).split()


def talk_to_fit() -> list[str]:
    """Return talk that names no exercise and is in none of the figures: the other half of the classes and topics."""
    return talk_of_classes(1) + prose(1)


def main() -> int:
    """Print the sentences missed, the figures, and what building and finding cost in processor time."""
    start = process_time()
    matcher = ExerciseMatcher(lexicon.load())
    built = process_time() - start
    figures = measure(matcher)
    for miss in figures.misses:
        print(miss)
    for kind, (good, total) in figures.by_kind.items():
        print(f"{kind:12} {good:3} of {total:3}")
    words = [word.text for one in load_classes() for word in one.forms["captions"].words]
    start = process_time()
    matcher.find(words)
    per_thousand = (process_time() - start) / len(words) * 1e6
    print(f"precision {figures.precision:.3f}  recall {figures.recall:.3f}")
    for what, file in (
        ("to learn from", MISHEARD),
        ("to learn from", FURTHER),
        ("to learn from", OTHER_SENTENCES),
        ("held back", HELD_BACK),
    ):
        print(f"misheard names recovered {recovered(file):.2f} ({file.name}, {what})")
    for kind, talk in (("talk of classes", talk_of_classes()), ("prose", prose())):
        heard = heard_in_talk(matcher, talk)
        print(f"heard in {len(talk):,} words of {kind}: {len(heard)} {heard}")
    print(f"lexicon and matcher {built:.2f} s; 1,000 words of the classes {per_thousand:.1f} ms")
    return 0


if __name__ == "__main__":
    sys.exit(main())
