"""summary.txt and summary.md: what a class holds, ready for the description of an upload.

Title and length; equipment; blocks with their exercises, sets, tempo, sides and rounds; the main muscles by
volume; work and rest time; the easier and harder options that were offered; and the usual cautions.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import PurePath

from pipeline.model import Record, WorkSet
from pipeline.publish.chapter_blocks import Block, exercise_key, find_blocks, rounds_of, sets_by_chapter
from pipeline.publish.chapter_titles import capital, set_facts
from pipeline.publish.class_equipment import class_equipment
from pipeline.publish.clock import clock
from pipeline.publish.offered_options import offered_options
from pipeline.publish.report_words import CAUTIONS, count_text, length_text
from pipeline.publish.volume import KnownExercise, volume_frame
from pipeline.publish.webvtt_file import one_line

MOST_MUSCLES = 6
"""Muscles that are named, those with the most sets: as many as a reader takes in (by judgement)."""

NO_MUSCLE = frozenset({"heart and lungs"})
"""What the lexicon trains that is no muscle."""

Exercises = Mapping[str, KnownExercise]


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the summary: its heading, and lines with how deep each is indented."""

    heading: str
    lines: tuple[tuple[int, str], ...]


def write_text(record: Record, exercises: Exercises | None = None) -> str:
    """Return the text of summary.txt; ``exercises`` are the lexicon's, for the volume by muscle."""
    lines = [_title(record), _size(record)]
    for section in _sections(record, exercises):
        lines += ["", section.heading, *(f"{'  ' * depth}- {text}" for depth, text in section.lines)]
    return "\n".join(lines) + "\n"


def write_markdown(record: Record, exercises: Exercises | None = None) -> str:
    """Return the text of summary.md, as CommonMark has it."""
    lines = [f"# {_escape(_title(record))}", "", _size(record)]
    for section in _sections(record, exercises):
        lines += ["", f"## {section.heading}", ""]
        lines += [f"{'  ' * depth}- {_escape(text)}" for depth, text in section.lines]
    return "\n".join(lines) + "\n"


def _title(record: Record) -> str:
    # A file's name is all there is to go by where the source has no title.
    return one_line(record.title or capital(re.sub(r"[-_.]+", " ", PurePath(record.source.name).stem)))


def _size(record: Record) -> str:
    exercises = {exercise_key(chapter) for chapter in record.chapters if chapter.kind == "exercise"}
    return ", ".join(
        (
            length_text(record.source.duration),
            count_text(len(exercises), "exercise"),
            count_text(len(record.sets), "set"),
        )
    )


def _sections(record: Record, exercises: Exercises | None) -> Iterator[Section]:
    """Yield the parts that have something to say, the cautions always."""
    found = (
        Section("Equipment", _items(class_equipment(record, _tools(exercises)))),
        Section("The class", tuple(_class_lines(record))),
        Section("Main muscles", _items(_muscles(record, exercises))),
        Section("Work and rest", _items(_times(record))),
        Section("Options offered", _items(_options(record))),
        Section("Please note", _items(CAUTIONS)),
    )
    return (section for section in found if section.lines)


def _tools(exercises: Exercises | None) -> list[str]:
    return [tool for one in (exercises or {}).values() for tool in one.equipment]


def _items(texts: Iterable[str]) -> tuple[tuple[int, str], ...]:
    return tuple((0, text) for text in texts)


def _class_lines(record: Record) -> Iterator[tuple[int, str]]:
    """Yield each block with its exercises below it, and each exercise that is in no block."""
    sets = sets_by_chapter(record)
    blocks = {block.first: block for block in find_blocks(record)}
    index = 0
    while index < len(record.chapters):
        block = blocks.get(index)
        stop = block.stop if block is not None else _end_of_exercise(record, index, blocks)
        lines = list(_exercise_lines(record, range(index, stop), sets))
        if block is not None and len(lines) == 1:
            yield 0, ": ".join([_block_line(block), *lines[0][1:]])
        elif block is not None:
            yield 0, _block_line(block)
            yield from ((1, ": ".join(line)) for line in lines)
        else:
            yield from ((0, ": ".join(line)) for line in lines)
        index = stop


def _end_of_exercise(record: Record, index: int, blocks: Container[int]) -> int:
    """Return the chapter after the last that goes on with an exercise: its other side, after a rest or not."""
    stop = index + 1
    for at in range(index + 1, len(record.chapters)):
        chapter = record.chapters[at]
        if at in blocks or (
            chapter.kind == "exercise" and exercise_key(chapter) != exercise_key(record.chapters[index])
        ):
            break
        if chapter.kind == "exercise":
            stop = at + 1
    return stop


def _block_line(block: Block) -> str:
    rounds = f", {block.rounds} rounds" if block.rounds > 1 else ""
    return f"Block {block.number}: {block.name}{rounds}"


def _exercise_lines(record: Record, chapters: Iterable[int], sets: Sequence[Sequence[WorkSet]]) -> Iterator[list[str]]:
    """Yield the name of each exercise, and what is done of it where that is known."""
    turns: dict[str, list[int]] = {}
    for index in chapters:
        if record.chapters[index].kind == "exercise":
            turns.setdefault(exercise_key(record.chapters[index]), []).append(index)
    for indexes in turns.values():
        chapter = record.chapters[indexes[0]]
        # A round like the one before is not said again.
        rounds = dict.fromkeys(_what_is_done(one) for one in rounds_of([sets[index] for index in indexes]))
        done = _in_turn([text for text in rounds if text])
        yield [one_line(text) for text in (capital(chapter.exercise_name or chapter.title), done) if text]


def _in_turn(rounds: Sequence[str]) -> str:
    """Return what each round is, one after the other: ``10, then 8, then 6 reps``."""
    counts = [text.partition(" ") for text in rounds]
    if len({rest for _, _, rest in counts}) == 1 and all(count.isdecimal() and count != "1" for count, _, _ in counts):
        return f"{', then '.join(count for count, _, _ in counts)} {counts[0][2]}"
    return ", then ".join(rounds)


def _what_is_done(sets: Sequence[WorkSet]) -> str:
    facts = set_facts(sets)
    amounts = facts["reps"] or facts["seconds"]
    if not amounts and len(sets) > 1:
        if all(one.target is None and one.performed is None for one in sets):
            return "both sides" if {one.side for one in sets} == {"left", "right"} else ""
        return "; ".join(filter(None, (_what_is_done([one]) for one in sets)))
    parts = [amounts, facts.get("side", ""), facts.get("range", "")]
    if facts.get("tempo"):
        parts.append(f"tempo {facts['tempo']}")
    return ", ".join(part for part in parts if part)


def _muscles(record: Record, exercises: Exercises | None) -> list[str]:
    if not record.sets:
        return []
    table = volume_frame(record, exercises)
    most = table[(table["of"] == "muscle") & ~table["name"].isin(NO_MUSCLE)].head(MOST_MUSCLES)
    return [
        f"{name}, {sets:g} {'set' if sets == 1 else 'sets'}"
        for name, sets in zip(most["name"], most["sets"], strict=True)
    ]


def _times(record: Record) -> list[str]:
    work = sum(max(one.end - one.start, 0.0) for one in record.sets)
    rests = [chapter.end - chapter.start for chapter in record.chapters if chapter.kind == "rest"]
    lines = [f"Work: {length_text(work)}"] if record.sets else []
    if rests:
        lines.append(f"Announced rest: {length_text(sum(rests))} in {count_text(len(rests), 'break')}")
    return lines


def _options(record: Record) -> list[str]:
    return [f"{clock(one.time)} {' and '.join(one.ways)}: “{one.text}”" for one in offered_options(record)]


def _escape(text: str) -> str:
    """Return text with a backslash before what CommonMark takes for syntax within a line."""
    return re.sub(r"([\\`*_\[\]<>#|&])", r"\\\1", text)
