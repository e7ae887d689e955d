"""Chapters at the grain that is asked for: blocks, exercises or sets, each level inside the one above.

``outline`` gives the tree that formats with nesting show; its leaves, ``leaves``, are what flat formats list.

- ``exercise`` is the record's own chapters. A block with more than one of them is a level above.
- ``block`` lists each block (see ``chapter_blocks``) as one, and what is in no block by itself.
- ``set`` parts each exercise into its sets; what stands between two sets belongs to the later one.

A level that would hold one part alone is left out. Chapters shorter than ``SHORTEST`` are joined:

- a short one joins the one before it in the same level, so that nobody who jumps there comes too late; the
  first joins the second;
- the title of an exercise outlasts that of an introduction, a rest or a close;
- two exercises keep both titles, with " + " between them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from pipeline.model import InputError, Record, WorkSet
from pipeline.publish.chapter_blocks import Block, find_blocks, sets_by_chapter
from pipeline.publish.chapter_starts import chapter_starts, set_starts
from pipeline.publish.chapter_titles import (
    Template,
    capital,
    join_titles,
    read_template,
    set_facts,
    shorten,
)

Level = Literal["block", "exercise", "set", "intro", "rest", "outro"]

GRAINS = ("exercise", "block", "set")

SHORTEST = 10
"""The least length of a chapter in seconds, counted in whole seconds, as a list shows them.

What video hosts commonly publish for chapters in a description (from memory): the first starts at 0:00, there
are three or more, in rising order, each ten seconds or longer.
"""

BLOCK_TITLE = "Block {block}: {exercise}[, {rounds} rounds]"
SET_TITLE = "{exercise}[, {side}][, {range}][, {reps}][, {seconds}][, {tempo} tempo][, round {round}]"


@dataclass(frozen=True, slots=True)
class PublishedChapter:
    """A chapter as it is published: ``start`` and ``end`` in seconds, its title, and what is inside it.

    ``facts`` are the fields of ``chapter_titles``, those of the first where short chapters were joined.
    """

    start: float
    end: float
    title: str
    level: Level
    facts: Mapping[str, str] = field(default_factory=dict)
    parts: tuple[PublishedChapter, ...] = ()


def outline(record: Record, grain: str = "exercise", template: str | None = None) -> tuple[PublishedChapter, ...]:
    """Return the chapters of a record, nested down to ``grain``, the first from 0, the last to the end.

    ``template`` is for the titles at the grain itself; by default an exercise has its title in the record.
    Raises :class:`~pipeline.model.InputError` for an unknown grain or a template that cannot be read.
    """
    if grain not in GRAINS:
        raise InputError("--grain", None, f"{grain!r} is no grain of chapters", f"one of {', '.join(GRAINS)}")
    own = read_template(template) if template is not None else None
    if not record.chapters:
        return ()
    blocks = find_blocks(record)
    drafts = _in_blocks(_exercises(record, blocks, grain == "set"), blocks, record)
    joined = _join(drafts if grain != "block" else [replace(one, parts=[]) for one in drafts])
    titles = _Titles(grain, own)
    return tuple(titles.finish(one) for one in joined)


def leaves(chapters: Iterable[PublishedChapter]) -> Iterator[PublishedChapter]:
    """Yield the chapters that have no parts, in order: they lie end to end."""
    for one in chapters:
        if one.parts:
            yield from leaves(one.parts)
        else:
            yield one


@dataclass(slots=True)
class _Draft:
    """A chapter whose title is not composed yet; ``also`` are the short ones that joined it."""

    start: float
    end: float
    level: Level
    title: str
    facts: dict[str, str]
    parts: list[_Draft] = field(default_factory=list)
    also: list[_Draft] = field(default_factory=list)
    stands_for_set: bool = False


def _exercises(record: Record, blocks: Sequence[Block], with_sets: bool) -> list[_Draft]:
    starts = chapter_starts(record)
    end = max([record.source.duration, starts[-1], *(chapter.end for chapter in record.chapters)])
    block_of = {i: block for block in blocks for i in range(block.first, block.stop)}
    drafts = []
    for index, (chapter, sets) in enumerate(zip(record.chapters, sets_by_chapter(record), strict=True)):
        stop = starts[index + 1] if index + 1 < len(starts) else end
        facts = {"exercise": capital(chapter.exercise_name)}
        if chapter.kind == "exercise":
            facts |= set_facts(sets) | _round_facts(record, index, sets, block_of.get(index))
        draft = _Draft(starts[index], stop, chapter.kind, chapter.title, facts)
        if with_sets and chapter.kind == "exercise":
            draft.parts = _sets(record, sets, draft)
            draft.stands_for_set = bool(sets)
        drafts.append(draft)
    return drafts


def _round_facts(record: Record, index: int, sets: Sequence[WorkSet], block: Block | None) -> dict[str, str]:
    chapter = record.chapters[index]
    rounds = chapter.rounds or (block.rounds if block else 1)
    said = {one.round for one in sets}
    number = chapter.round if chapter.round is not None else said.pop() if len(said) == 1 else None
    return {
        "round": "" if number is None else str(number),
        "rounds": str(rounds) if rounds > 1 else "",
        "block": "" if block is None else str(block.number),
    }


def _sets(record: Record, sets: Sequence[WorkSet], inside: _Draft) -> list[_Draft]:
    if len(sets) < 2:
        return []
    starts = set_starts(record.words, sets, inside.start)
    parts = []
    for one, start, stop in zip(sets, starts, [*starts[1:], inside.end], strict=True):
        facts = {**inside.facts, **set_facts([one])}
        if one.round is not None:
            facts["round"] = str(one.round)
        parts.append(_Draft(start, stop, "set", "", facts))
    return parts


def _in_blocks(drafts: Sequence[_Draft], blocks: Sequence[Block], record: Record) -> list[_Draft]:
    out: list[_Draft] = []
    at = 0
    for block in blocks:
        out += drafts[at : block.first]
        parts = list(drafts[block.first : block.stop])
        facts = {
            "exercise": block.name,
            "rounds": str(block.rounds) if block.rounds > 1 else "",
            "seconds": f"{block.seconds} seconds" if block.seconds else "",
            "block": str(block.number),
        }
        out.append(_Draft(parts[0].start, parts[-1].end, "block", "", facts, parts))
        at = block.stop
    return out + list(drafts[at:])


# Joining


def _join(drafts: Sequence[_Draft]) -> list[_Draft]:
    """Join the short ones of one level, and of the levels inside it."""
    out = [replace(one, parts=_join(one.parts)) for one in drafts]
    while len(out) > 1:
        short = next((i for i, one in enumerate(out) if int(one.end) - int(one.start) < SHORTEST), None)
        if short is None:
            break
        later = max(short, 1)
        out[later - 1 : later + 1] = [_joined(out[later - 1], out[later])]
    for one in out:
        if len(one.parts) == 1:
            one.parts = []
    return out


def _joined(first: _Draft, second: _Draft) -> _Draft:
    members = [*_members(first), *_members(second)]
    lasting = [one for one in members if one.level in {"block", "exercise", "set"}]
    if not lasting:
        longest = max(members, key=lambda one: one.end - one.start)
        return replace(longest, start=first.start, end=second.end, also=[])
    # What was joined to an introduction, a rest or a close keeps its parts; the first starts with the whole.
    parts = lasting[0].parts if len(lasting) == 1 else []
    if parts:
        parts = [replace(parts[0], start=first.start), *parts[1:]]
        parts[-1] = replace(parts[-1], end=second.end)
    return replace(lasting[0], start=first.start, end=second.end, parts=parts, also=lasting[1:])


def _members(one: _Draft) -> list[_Draft]:
    return [replace(one, also=[]), *one.also]


# Titles


class _Titles:
    """Composes titles in the order of the list, so that chapters can be numbered."""

    def __init__(self, grain: str, own: Template | None) -> None:
        self.grain, self.own = grain, own
        self.block, self.set = read_template(BLOCK_TITLE), read_template(SET_TITLE)
        self.number = 0

    def finish(self, one: _Draft) -> PublishedChapter:
        if one.parts:
            title = self._title(one, None)
            parts = tuple(self.finish(part) for part in one.parts)
            return PublishedChapter(one.start, one.end, title, one.level, one.facts, parts)
        self.number += 1
        facts = {**one.facts, "number": str(self.number)}
        title = join_titles([self._title(each, self.number) for each in _members(one)])
        return PublishedChapter(one.start, one.end, title, one.level, facts)

    def _title(self, one: _Draft, number: int | None) -> str:
        """Compose one title; ``number`` is the leaf's place in the list, and ``None`` above the leaves."""
        if one.level in {"intro", "rest", "outro"}:
            return shorten(one.title)
        if number is not None and self.own is not None:
            return self.own.title({**one.facts, "number": str(number)})
        if one.level == "block":
            return self.block.title(one.facts)
        if one.level == "set":
            return self.set.title(one.facts)
        return shorten(one.title or one.facts["exercise"])
