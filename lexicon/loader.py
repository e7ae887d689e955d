"""Reads and checks the lexicon: exercises, the closed vocabulary, activities, modifiers, phrases.

Fields of :class:`Exercise` are named as the columns of ``exercises/*.csv``. Every mistake in the data becomes
a :class:`LexiconError`, one line that names the file, the line or entry, the field, what is wrong and what
would be accepted: ``load`` raises the first one, ``check`` lists them all.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from lexicon.entries import Exercise, Lexicon, LexiconError, name_key
from lexicon.fields import (
    COLUMNS,
    LISTS,
    MAY_BE_EMPTY,
    OPTIONAL_COLUMNS,
    cells_of,
    fault,
    mended,
    one_of,
    text_of,
    wanted,
)
from lexicon.rows import read_rows
from lexicon.wordlists import (
    HOME,
    read_activities,
    read_modifiers,
    read_muscle_words,
    read_paraphrases,
    read_phrases,
    read_vocabulary,
)


def load(extra: Path | None = None) -> Lexicon:
    """Return the lexicon, with the exercises of ``extra`` (CSV or YAML) added or, by id, put over others.

    Raises :class:`LexiconError` for the first mistake found. Cached by the path and its time of change.
    """
    if extra is None:
        return _load(None, 0)
    path = Path(extra)
    return _load(path, path.stat().st_mtime_ns if path.exists() else 0)


def check(path: Path | str) -> list[str]:
    """Return every problem of one file, a line each; an empty list where it is sound.

    ``path`` is a CSV or YAML file of exercises. One of the lexicon's own is checked together with the others
    (names shared between two files are problems of both); any other is checked as an ``extra``.
    """
    path, problems = Path(path), list[LexiconError]()
    own = _own_files()
    accepted = {**read_vocabulary(problems), "activities": tuple(read_activities(problems))}
    exercises = _read_exercises(own, accepted, problems)
    if path.resolve() in {one.resolve() for one in own}:
        _check_links(exercises, problems)
        return [str(one) for one in problems if path.name in str(one)]
    problems.clear()
    _read_exercises([path], accepted, problems, exercises)
    _check_links(exercises, problems, only=path.name)
    return [str(one) for one in problems]


@lru_cache(maxsize=8)
def _load(extra: Path | None, changed: int) -> Lexicon:
    problems = list[LexiconError]()
    vocabulary, activities = read_vocabulary(problems), read_activities(problems)
    accepted = {**vocabulary, "activities": tuple(activities)}
    exercises = _read_exercises(_own_files(), accepted, problems)
    if extra is not None:
        _read_exercises([extra], accepted, problems, exercises)
    _check_links(exercises, problems)
    modifiers, words = read_modifiers(vocabulary, problems)
    phrases = read_phrases(problems)
    paraphrases, everyday_words = read_paraphrases(exercises, problems)
    muscle_words = read_muscle_words(vocabulary["muscles"], problems)
    if problems:
        raise problems[0]
    by_id = MappingProxyType({name: one for name, (one, _, _) in exercises.items()})
    base_words, clear_words = words
    return Lexicon(
        by_id,
        vocabulary,
        modifiers,
        phrases,
        base_words,
        clear_words,
        paraphrases,
        everyday_words,
        activities,
        muscle_words,
    )


def _own_files() -> list[Path]:
    return sorted((HOME / "exercises").glob("*.csv"))


# An exercise with the file and the place that it was read from.
_Placed = tuple[Exercise, str, str]


def _read_exercises(
    files: Iterable[Path],
    vocabulary: Mapping[str, tuple[str, ...]],
    problems: list[LexiconError],
    known: dict[str, _Placed] | None = None,
) -> dict[str, _Placed]:
    """Read files of exercises into ``known``, which the rows may override (where it is given)."""
    found = {} if known is None else known
    fresh = set[str]()
    for file in files:
        for place, row in read_rows(file, problems):
            key = str(row.get("id") or "").strip()
            at = f"{place} ({key})" if key else place
            if key in fresh:
                first = f"{found[key][1]}, {found[key][2]}" if key in found else "above"
                problems.append(LexiconError(file.name, at, "id", f"{key!r} stands already at {first}", "each id once"))
                continue
            fresh.add(key)
            before = asdict(found[key][0]) if key in found else None
            one = _exercise(row, before, file.name, at, vocabulary, problems)
            if one is not None:
                found[key] = (one, file.name, at)
    return found


def _exercise(
    row: Mapping[str, Any],
    before: Mapping[str, Any] | None,
    file: str,
    place: str,
    vocabulary: Mapping[str, tuple[str, ...]],
    problems: list[LexiconError],
) -> Exercise | None:
    """Return the row as an exercise, or ``None`` with the reasons appended to ``problems``.

    A cell that is missing or empty keeps what ``before`` (the entry overridden) holds.
    """
    wrong = len(problems)
    values: dict[str, Any] = dict(before or {})
    for field in (*COLUMNS, *OPTIONAL_COLUMNS):
        raw = row.get(field)
        cells = cells_of(raw) if field in LISTS else tuple(filter(None, [text_of(raw)]))
        cells = tuple(mended(field, cell) for cell in cells)
        if not cells:
            if before is None:
                if field not in MAY_BE_EMPTY:
                    problems.append(LexiconError(file, place, field, "is empty", wanted(field)))
                values[field] = () if field in LISTS else ""
            continue
        value: Any = cells if field in LISTS else cells[0]
        for cell in cells:
            problem, remedy = fault(field, cell, vocabulary)
            if problem:
                problems.append(LexiconError(file, place, field, problem, remedy))
        values[field] = value
    if len(problems) > wrong:
        return None
    values["seconds_low"], values["seconds_high"] = (
        float(values["seconds_low"]),
        float(values["seconds_high"]),
    )
    if values["seconds_low"] > values["seconds_high"]:
        problem = f"{values['seconds_low']:g} is above seconds_high, {values['seconds_high']:g}"
        problems.append(LexiconError(file, place, "seconds_low", problem, "put the smaller figure first"))
        return None
    return Exercise(**values)


def _check_links(exercises: Mapping[str, _Placed], problems: list[LexiconError], only: str | None = None) -> None:
    """Check what ties entries together: easier and harder, and names that two entries share."""
    owners: dict[str, str] = {}
    # An entry with a mistake of its own was told already: that others lead to it is no second mistake.
    faulty = {problem.place for problem in problems}
    for one, file, place in exercises.values():
        mine = only is None or file == only
        for field, others in (("easier", one.easier), ("harder", one.harder)):
            for other in others:
                if any(at.endswith(f"({other})") for at in faulty):
                    continue
                if mine and (other not in exercises or other == one.id):
                    problem = (
                        f"{other!r} is this entry itself" if other == one.id else f"no exercise has the id {other!r}"
                    )
                    problems.append(LexiconError(file, place, field, problem, one_of(other, exercises)))
        for key in dict.fromkeys(map(name_key, one.names)):
            owner = exercises[owners.setdefault(key, one.id)]
            if owner[0].id == one.id or one.told_apart_by or owner[0].told_apart_by:
                continue
            if mine or owner[1] == only:
                problem = f"the name {key!r} belongs to {owner[0].id!r} as well ({owner[1]}, {owner[2]})"
                remedy = "drop it from one of the two, or say in told_apart_by how they are told apart"
                problems.append(
                    LexiconError(file, place, "name" if key == name_key(one.name) else "other_names", problem, remedy)
                )
