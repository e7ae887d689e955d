"""``repslate lexicon``: look up exercises, check a file of them, propose lines for those not yet known."""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from statistics import quantiles
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lexicon import Activity, Exercise, Lexicon
    from pipeline.mentions.exercises import ExerciseMention
    from pipeline.model import Record, WorkSet

MOST_SHOWN = 12
"""Exercises that one search prints: as many as stand on a screen."""

LIKENESS = 75.0
"""From this likeness on (rapidfuzz's scale, 0 to 100) a name is offered for one not found; by judgement."""


NAMELESS = {"", "exercise"}
"""What a chapter is called whose exercise nobody named."""


def find_exercises(words: str) -> str:
    """Return what the lexicon knows of some words: names, muscles or equipment, as text for a terminal.

    An exercise is found where each word begins a word of its names, muscles or equipment. First stands how
    the words would be written as a chapter, where they name an exercise.
    """
    from lexicon import load

    lexicon = load()
    named = _named(lexicon, words)
    lines = [f"{one.text!r} as a chapter: {one.name} ({one.exercise or 'not listed'})" for one in named]
    heard = [lexicon.exercises[one.exercise] for one in named if one.exercise is not None]
    found = _search(lexicon, words) or heard
    for one in found[:MOST_SHOWN]:
        lines += ["", *_described(lexicon, one)]
    if len(found) > MOST_SHOWN:
        lines += ["", f"and {len(found) - MOST_SHOWN} more; a further word narrows the search"]
    if not found:
        lines += [f"no exercise has all of: {words}", *_offered(lexicon, words)]
    return "\n".join(lines).strip("\n") + "\n"


def propose_exercises(records: Iterable[Record]) -> tuple[str, int]:
    """Return CSV lines, with a header, for named exercises that the lexicon lacks, and how many there are.

    What the class tells is filled in (names, equipment, sides, unit, seconds a rep); the rest is left empty
    for a person, and ``lexicon check`` says what is missing.
    """
    from lexicon import load
    from lexicon.fields import COLUMNS, OPTIONAL_COLUMNS

    lexicon = load()
    unknown: dict[str, _Unknown] = {}
    for record in records:
        _gather(record, lexicon, unknown)
    text = io.StringIO()
    writer = csv.DictWriter(text, (*COLUMNS, *OPTIONAL_COLUMNS), restval="", lineterminator="\n")
    writer.writeheader()
    for one in unknown.values():
        writer.writerow(one.row(lexicon))
    return text.getvalue(), len(unknown)


# Finding


def _search(lexicon: Lexicon, words: str) -> list[Exercise]:
    """Return the exercises that have all the words, those named so first, then those whose prime movers they are."""
    from lexicon import name_key

    key, terms = name_key(words), _terms(lexicon, words)
    ranked: list[tuple[tuple[bool, ...], int, int, str]] = []
    for one in lexicon.exercises.values():
        names = [name_key(name) for name in one.names]
        movers = name_key(" ".join(one.prime_movers)).split()
        facts = name_key(" ".join((*names, *one.muscles, *one.equipment))).split()
        if not terms or not all(_begins(word, facts) or meant & {*one.muscles} for word, meant in terms):
            continue
        written = [f" {name} " for name in names]
        rank = (key != names[0], key not in names, f" {key} " not in written[0], f" {key} " not in "|".join(written))
        behind = sum(_place(one, meant) if meant else not _begins(word, movers) for word, meant in terms)
        ranked.append((rank, behind, len(names[0]), one.id))
    return [lexicon.exercises[name] for *_, name in sorted(ranked)]


def _terms(lexicon: Lexicon, words: str) -> list[tuple[str, set[str]]]:
    """Return what is looked for: each word, or each name of muscles ("lower back"), with the muscles that it means."""
    from lexicon import name_key

    said, at, terms = name_key(words).split(), 0, list[tuple[str, set[str]]]()
    while at < len(said):
        runs = (" ".join(said[at:stop]) for stop in range(len(said), at, -1))
        run = next((one for one in runs if one in lexicon.muscle_words), said[at])
        terms.append((run, set(lexicon.muscle_words.get(run, ()))))
        at += len(run.split())
    return terms


def _place(one: Exercise, muscles: set[str]) -> int:
    """Return how many muscles of an exercise come before the first of ``muscles``."""
    return next((place for place, muscle in enumerate(one.muscles) if muscle in muscles), len(one.muscles))


def _begins(word: str, facts: Sequence[str]) -> bool:
    return any(fact.startswith(word) for fact in facts)


def _named(lexicon: Lexicon, words: str) -> list[ExerciseMention]:
    """Return what the words name when a coach says them."""
    from pipeline.mentions.exercises import ExerciseMatcher

    return [one for one in ExerciseMatcher(lexicon).find(words.split()) if one.heard != "announced"]


def _described(lexicon: Lexicon, one: Exercise) -> list[str]:
    helpers = f"; helped by {', '.join(one.helpers)}" if one.helpers else ""
    sides = {"yes": ", one side at a time", "alternating": ", sides in turn", "no": ""}[one.sides]
    facts = {
        "also called": ", ".join(one.other_names),
        "told apart": one.told_apart_by,
        "muscles": ", ".join(one.prime_movers) + helpers,
        "joints": ", ".join(one.joint_actions),
        "equipment": " or ".join(one.equipment),
        "position": " or ".join(one.position),
        "counted": f"in {one.unit}, {one.seconds_low:g} to {one.seconds_high:g} s each{sides}",
        "easier": ", ".join(lexicon.exercises[other].name for other in one.easier),
        "harder": ", ".join(lexicon.exercises[other].name for other in one.harder),
        "intensity": _intensity([lexicon.activities[code] for code in one.activity_codes]),
        "caution": one.caution,
    }
    title = f"{one.name[:1].upper()}{one.name[1:]} ({one.id})"
    return [title, *(f"  {label:<11}  {fact}" for label, fact in facts.items() if fact)]


def _intensity(activities: Sequence[Activity]) -> str:
    """Return what sessions of these activities take, lightest effort first, or nothing where there are none."""
    if not activities:
        return ""
    figures = " or ".join(f"{one.met:g}" for one in activities)
    codes = ", ".join(one.code for one in activities)
    return f"{figures} MET (Adult Compendium of Physical Activities {activities[0].year}: {codes}; from memory)"


def _offered(lexicon: Lexicon, words: str) -> list[str]:
    from rapidfuzz import fuzz, process

    names = {name: one.id for one in lexicon.exercises.values() for name in one.names}
    near = process.extract(words, list(names), scorer=fuzz.WRatio, limit=3, score_cutoff=LIKENESS)
    return [f"close to it: {', '.join(name for name, _, _ in near)}"] if near else []


# Proposing


@dataclass
class _Unknown:
    """An exercise with a name and no entry, and what the classes told of it."""

    name: str
    other_names: dict[str, None] = field(default_factory=dict)
    equipment: dict[str, None] = field(default_factory=dict)
    sets: list[WorkSet] = field(default_factory=list)

    def row(self, lexicon: Lexicon) -> dict[str, str]:
        low, high = _seconds(self.sets)
        sides = {one.side for one in self.sets} - {None}
        units = {one.unit for one in self.sets}
        return {
            "id": _free_id(self.name, lexicon),
            "name": self.name[:1].lower() + self.name[1:],
            "other_names": ";".join(name for name in self.other_names if name.lower() != self.name.lower()),
            "equipment": ";".join(tool for tool in self.equipment if tool in lexicon.vocabulary["equipment"]),
            "sides": "yes" if sides else "",
            "unit": units.pop() if len(units) == 1 else "",
            "seconds_low": low,
            "seconds_high": high,
        }


def _gather(record: Record, lexicon: Lexicon, unknown: dict[str, _Unknown]) -> None:
    from lexicon import name_key

    for index, chapter in enumerate(record.chapters):
        key = name_key(chapter.exercise_name)
        if chapter.kind != "exercise" or chapter.exercise is not None or key in NAMELESS:
            continue
        if lexicon.named(chapter.exercise_name):
            continue
        one = unknown.setdefault(key, _Unknown(chapter.exercise_name))
        one.other_names.update(dict.fromkeys(chapter.aliases))
        one.equipment.update(dict.fromkeys(chapter.equipment))
        one.sets += [each for each in record.sets if each.chapter == index]


def _seconds(sets: Sequence[WorkSet]) -> tuple[str, str]:
    """Return the seconds that a rep, or a hold, took: the quarter and three-quarter marks, as text."""
    spans = [one.end - one.start for one in sets if one.unit == "seconds"]
    spans += [b.time - a.time for one in sets if one.unit == "reps" for a, b in pairwise(one.reps)]
    spans = [span for span in spans if span > 0]
    if len(spans) < 2 or len({one.unit for one in sets}) > 1:
        return "", ""
    low, _, high = quantiles(spans, n=4, method="inclusive")
    return f"{low:.1f}", f"{high:.1f}"


def _free_id(name: str, lexicon: Lexicon) -> str:
    """Return the name as an id (small letters, digits, single hyphens) that no entry has."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    stem = re.sub(r"[^a-z0-9]+", "-", plain.replace("'", "")).strip("-") or "exercise"
    number, free = 1, stem
    while free in lexicon.exercises:
        number += 1
        free = f"{stem}-{number}"
    return free
