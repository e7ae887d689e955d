"""``repslate search``: which classes of a shelf of kept records hold an exercise, or words that were said."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.model import Chapter, InputError, Record, RepslateError
from pipeline.publish.clock import clock

if TYPE_CHECKING:
    from lexicon import Lexicon

RECORD = "record.json"

LIKENESS = 80.0
"""From this likeness on (rapidfuzz's ratio, 0 to 100) a name of the shelf is offered for one not found: about one
slip in five letters; by judgement."""

MOST_OFFERED = 3
"""Names offered for one not found."""


@dataclass(frozen=True, slots=True)
class Found:
    """A place of a class: seconds from its start, and its chapter's title or the words said."""

    time: float
    text: str


def record_paths(sources: Sequence[str]) -> list[str]:
    """Return the records named, and of each folder those anywhere below it, in order of name.

    Raises :class:`~pipeline.model.InputError` for a folder without any.
    """
    paths: list[str] = []
    for source in sources:
        if not Path(source).is_dir():
            paths.append(source)
            continue
        below = sorted(
            os.path.join(folder, RECORD) for folder, _, names in os.walk(source, followlinks=True) if RECORD in names
        )
        if not below:
            raise InputError(source, None, f"holds no {RECORD}", "give a folder that repslate analyze has written to")
        paths += below
    return paths


def search_records(words: str, sources: Sequence[str], complain: Callable[[RepslateError], None]) -> str:
    """Return the classes that hold the words, as text for a terminal.

    A chapter is found where each word begins a word of its exercise's names, muscles or equipment; the lexicon's
    other names count too. Only where no chapter of any class is found, what was said is searched for the phrase.
    ``complain`` is called with what is wrong with a record; the others are still searched.
    Raises :class:`~pipeline.model.InputError` where the words hold no letter.
    """
    from lexicon import load, name_key
    from pipeline.commands.records import read_record

    lexicon, wanted = load(), name_key(words).split()
    if not wanted:
        raise InputError(
            "search", None, f"{words!r} holds no word", "name an exercise, a muscle or a piece of equipment"
        )
    lines: list[str] = []
    spoken: list[str] = []
    names: set[str] = set()
    count = 0
    for source in record_paths(sources):
        try:
            record = read_record(source)
        except RepslateError as error:
            complain(error)
            continue
        count += 1
        names |= {chapter.exercise_name for chapter in record.chapters if chapter.kind == "exercise"}
        lines += _described(source, record, _chapters(record, wanted, lexicon))
        if not lines:
            spoken += _described(source, record, _passages(record, wanted))
    if not lines and spoken:
        return "\n".join([f"no exercise has all of: {words}; it was said in:", "", *spoken]) + "\n"
    if not lines:
        return "\n".join([f"none of {count} searched holds: {words}", *_offered(words, names)]) + "\n"
    return "\n".join(lines) + "\n"


def _chapters(record: Record, wanted: Sequence[str], lexicon: Lexicon) -> Iterator[Found]:
    for chapter in record.chapters:
        if chapter.kind == "exercise" and _has_all(wanted, _facts(chapter, lexicon)):
            yield Found(chapter.start, chapter.title)


def _facts(chapter: Chapter, lexicon: Lexicon) -> list[str]:
    from lexicon import name_key

    listed = lexicon.exercises.get(chapter.exercise or "")
    names = (chapter.exercise_name, *chapter.aliases, *(listed.names if listed else ()))
    return name_key(" ".join((*names, *chapter.equipment, *chapter.muscles))).split()


def _has_all(wanted: Sequence[str], facts: Sequence[str]) -> bool:
    return all(any(fact.startswith(form) for fact in facts for form in _forms(word)) for word in wanted)


def _forms(word: str) -> tuple[str, ...]:
    """Return a word and its singular: "lunges" stands for "lunge", "flies" for "fly", "presses" for "press"."""
    if word.endswith("ies"):
        return word, f"{word[:-3]}y"
    if word.endswith(("ches", "shes", "sses", "xes", "zes")):
        return word, word[:-2]
    return (word, word[:-1]) if word.endswith("s") and not word.endswith("ss") else (word,)


def _passages(record: Record, wanted: Sequence[str]) -> Iterator[Found]:
    from lexicon import name_key

    phrase = f" {' '.join(wanted)} "
    for piece in record.pieces:
        text = " ".join(word.text for word in record.words[piece.first : piece.stop])
        if phrase in f" {name_key(text)} ":
            yield Found(piece.start, f'"{text}"')


def _described(source: str, record: Record, found: Iterator[Found]) -> list[str]:
    places = [f"  {clock(one.time):>7}  {one.text}" for one in found]
    title = f": {record.title}" if record.title else ""
    return [f"{source} ({record.source.name}{title})", *places] if places else []


def _offered(words: str, names: set[str]) -> list[str]:
    from rapidfuzz import fuzz, process, utils

    near = process.extract(
        words,
        sorted(names),
        scorer=fuzz.ratio,
        processor=utils.default_process,
        limit=MOST_OFFERED,
        score_cutoff=LIKENESS,
    )
    return [f"close to it: {', '.join(name for name, _, _ in near)}"] if near else []
