"""summary.txt and summary.md: what a class holds, ready for the description of an upload.

Title and length; equipment; blocks with their exercises, sets, tempo, sides and rounds; the main muscles by
volume; work and rest time; the easier and harder options that were offered; and the usual cautions.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import PurePath

from pipeline.model import Record, WorkSet
from pipeline.publish.chapter_blocks import Block, exercise_key, find_blocks, sets_by_chapter
from pipeline.publish.chapter_titles import capital, set_facts
from pipeline.publish.clock import clock
from pipeline.publish.report_words import CAUTIONS, count_text, length_text
from pipeline.publish.volume import KnownExercise, volume_frame
from pipeline.publish.webvtt_file import one_line

MOST_MUSCLES = 6
"""Muscles that are named, those with the most sets: as many as a reader takes in (by judgement)."""

NO_EQUIPMENT = "none"
"""How the lexicon says that nothing is needed."""

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
    return one_line(record.title or PurePath(record.source.name).stem)


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
        Section("Equipment", _items(_equipment(record))),
        Section("The class", tuple(_class_lines(record))),
        Section("Main muscles", _items(_muscles(record, exercises))),
        Section("Work and rest", _items(_times(record))),
        Section("Options offered", _items(_options(record))),
        Section("Please note", _items(CAUTIONS)),
    )
    return (section for section in found if section.lines)


def _items(texts: Iterable[str]) -> tuple[tuple[int, str], ...]:
    return tuple((0, text) for text in texts)


def _equipment(record: Record) -> list[str]:
    """Return what the class needs: what an exercise cannot be done without, and what was spoken of.

    A chapter names all that its exercise can be done with, and most classes use one thing of it.
    """
    said = " ".join(word.text.lower() for word in record.words)
    tools: dict[str, None] = {}
    for chapter in record.chapters:
        for tool in chapter.equipment:
            if len(chapter.equipment) == 1 or re.search(rf"\b{re.escape(tool.lower())}(e?s)?\b", said):
                tools[tool] = None
    return [tool for tool in tools if tool != NO_EQUIPMENT]


def _class_lines(record: Record) -> Iterator[tuple[int, str]]:
    """Yield each block with its exercises below it, and each exercise that is in no block."""
    sets = sets_by_chapter(record)
    blocks = {block.first: block for block in find_blocks(record)}
    index = 0
    while index < len(record.chapters):
        block = blocks.get(index)
        if block is not None:
            yield 0, _block_line(block)
            yield from ((1, line) for line in _exercise_lines(record, range(index, block.stop), sets))
            index = block.stop
            continue
        yield from ((0, line) for line in _exercise_lines(record, range(index, index + 1), sets))
        index += 1


def _block_line(block: Block) -> str:
    rounds = f", {block.rounds} rounds" if block.rounds > 1 else ""
    return f"Block {block.number}: {block.name}{rounds}"


def _exercise_lines(record: Record, chapters: Iterable[int], sets: Sequence[Sequence[WorkSet]]) -> Iterator[str]:
    turns: dict[str, list[int]] = {}
    for index in chapters:
        if record.chapters[index].kind == "exercise":
            turns.setdefault(exercise_key(record.chapters[index]), []).append(index)
    for indexes in turns.values():
        name = capital(record.chapters[indexes[0]].exercise_name)
        # A round like the one before is not said again.
        rounds = list(dict.fromkeys(_what_is_done(sets[index]) for index in indexes))
        done = ", then ".join(text for text in rounds if text)
        yield one_line(f"{name}: {done}" if done else name)


def _what_is_done(sets: Sequence[WorkSet]) -> str:
    facts = set_facts(sets)
    amounts = facts["reps"] or facts["seconds"]
    if not amounts and len(sets) > 1:
        return "; ".join(filter(None, (_what_is_done([one]) for one in sets)))
    parts = [amounts, facts.get("side", ""), facts.get("range", "")]
    if facts.get("tempo"):
        parts.append(f"tempo {facts['tempo']}")
    return ", ".join(part for part in parts if part)


def _muscles(record: Record, exercises: Exercises | None) -> list[str]:
    if not record.sets:
        return []
    table = volume_frame(record, exercises)
    most = table[table["of"] == "muscle"].head(MOST_MUSCLES)
    return [
        f"{name}, {sets:g} {'set' if sets == 1 else 'sets'}"
        for name, sets in zip(most["name"], most["sets"], strict=True)
    ]


def _times(record: Record) -> list[str]:
    work = sum(max(one.end - one.start, 0.0) for one in record.sets)
    rests = [chapter.end - chapter.start for chapter in record.chapters if chapter.kind == "rest"]
    lines = [f"work: {length_text(work)}"] if record.sets else []
    if rests:
        lines.append(f"announced rest: {length_text(sum(rests))} in {count_text(len(rests), 'break')}")
    return lines


def _options(record: Record) -> list[str]:
    return [f"{clock(cue.time)} “{one_line(cue.text)}”" for cue in record.cues if cue.kind == "option"]


def _escape(text: str) -> str:
    """Return text with a backslash before what CommonMark takes for syntax within a line."""
    return re.sub(r"([\\`*_\[\]<>#|&])", r"\\\1", text)
