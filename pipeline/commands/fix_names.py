"""Exercise names that the recogniser misheard, put right in captions: "god let's quads" becomes "goblet squats".

Captions are verbatim, so this is done only when asked for, and each change is listed for a person to look over.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import zip_longest
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.model import Record, Transcript, WordRange
from pipeline.publish.clock import timestamp

if TYPE_CHECKING:
    from lexicon import Exercise

LEAST_LIKENESS = 0.86
"""How alike (0 to 1) what was written and a name have to sound; as sure as hearing needs to be to stand alone."""

LEAST_DOING = 0.5
"""How surely (0 to 1) the exercise is done there rather than spoken of; the middle."""

COLUMNS = ("time", "heard", "written", "exercise", "likeness")


@dataclass(frozen=True, slots=True)
class NameChange:
    """A name put right: at ``time`` (seconds) ``written`` stands for what was ``heard``."""

    words: WordRange
    time: float
    heard: str
    written: str
    exercise: str
    likeness: float


def captions_with_names(
    record: Record, form: str, options: Mapping[str, object], lexicon: Path | None = None
) -> dict[str, str]:
    """Return captions with misheard exercise names put right, and the list of changes, by the files' names.

    ``form`` is one of captions, ``options`` are those of its writer, ``lexicon`` is a file of further exercises.
    Raises :class:`~pipeline.model.InputError`.
    """
    from pipeline.publish import export

    fixed, changes = fix_names(record, lexicon)
    return {form: export(fixed, form, **options), changes_path(Path(form)).name: changes_csv(changes)}


def fix_names(record: Record, lexicon: Path | None = None) -> tuple[Record, tuple[NameChange, ...]]:
    """Return the record with misheard exercise names put right in its words, and the changes.

    Only the names of exercises that the class has a chapter of are put right; a right word in another form
    ("sprinting on the spot") stays.
    """
    from pipeline.publish.caption_words import Rewriting, rewrite

    changes = tuple(_changes(record, lexicon))
    return rewrite(record, [Rewriting(one.words, one.written) for one in changes]), changes


def changes_csv(changes: tuple[NameChange, ...]) -> str:
    """Return the changes as CSV, a row a change."""
    from pipeline.publish.csv_file import csv_file

    return csv_file(
        COLUMNS,
        [(timestamp(one.time), one.heard, one.written, one.exercise, f"{one.likeness:.2f}") for one in changes],
    )


def changes_path(output: Path) -> Path:
    """Return where the changes of a caption file are listed: beside it, ``captions.changes.csv``."""
    return output.with_name(f"{output.stem}.changes.csv")


def _changes(record: Record, further: Path | None) -> Iterator[NameChange]:
    from lexicon import load
    from pipeline.analyze import listener

    lexicon = load(further)
    transcript = Transcript(record.source, record.words, record.pieces)
    done = {chapter.exercise for chapter in record.chapters}
    for one in listener(further).hear(transcript).exercises:
        heard = transcript.text(one.words)
        if (
            one.heard not in ("sound", "spelling")
            or one.exercise not in done
            or one.exercise is None
            or one.score < LEAST_LIKENESS
            or one.doing < LEAST_DOING
        ):
            continue
        name = _as_in_a_sentence(one.name, lexicon.exercises[one.exercise])
        if not _is_another_form(_bare(heard), name):
            written = _in_the_place_of(heard, name)
            time = record.words[one.words[0]].start
            yield NameChange(one.words, time, heard, written, one.exercise, one.score)


def _as_in_a_sentence(name: str, exercise: Exercise) -> str:
    """Return a name without the capital of a title."""
    for listed in (exercise.name, *exercise.other_names):
        if listed.lower() == name.lower():
            return listed
    return name[0].lower() + name[1:] if name[1:2].islower() else name


def _is_another_form(heard: str, name: str) -> bool:
    """Return whether each word heard is a word of the name with another ending."""
    pairs = zip_longest(heard.lower().split(), name.lower().split(), fillvalue="")
    return all(a and b and (a.startswith(b) or b.startswith(a)) for a, b in pairs)


def _in_the_place_of(heard: str, name: str) -> str:
    """Return a name with the capital, the plural and the signs of what it stands for."""
    bare = _bare(heard)
    start = heard.index(bare)
    if bare[:1].isupper():
        name = name[:1].upper() + name[1:]
    if re.search(r"[^s]s$", bare) and not name.endswith("s"):
        name = _plural(name)
    return heard[:start] + name + heard[start + len(bare) :]


def _plural(name: str) -> str:
    if re.search(r"[^aeiou]y$", name):
        return f"{name[:-1]}ies"
    return f"{name}es" if re.search(r"(?:ch|sh|x|z)$", name) else f"{name}s"


def _bare(text: str) -> str:
    return text.strip("\"'“”‘’.,;:!?…()[]–—-")
