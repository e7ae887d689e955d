"""The chapters as a list to show: what chapters.txt and chapters.vtt have in common.

Rules that video hosts commonly publish for chapters in a description (from memory): the first starts at 0:00,
there are three or more, in rising order, each ten seconds or longer. A chapter that is shorter joins a
neighbour:

- it joins the chapter before it, so that nobody who jumps there comes too late; the first joins the second;
- the title of an exercise outlasts that of an introduction, a rest or a close;
- two exercises keep both titles, with " + " between them.
"""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.model import Chapter, Record
from pipeline.publish.webvtt_file import one_line

SHORTEST = 10
"""The least length of a listed chapter in seconds, counted in the whole seconds that the list shows."""


@dataclass(frozen=True, slots=True)
class ListedChapter:
    """A chapter of the list: ``start`` and ``end`` in seconds, and its title on one line."""

    start: float
    end: float
    title: str


def listed_chapters(record: Record) -> tuple[ListedChapter, ...]:
    """Return the chapters to list, short ones joined, the first from 0, the last to the end."""
    if not record.chapters:
        return ()
    groups = [[chapter] for chapter in record.chapters]
    starts = [0.0, *(chapter.start for chapter in record.chapters[1:])]
    end = max([record.source.duration, *(chapter.end for chapter in record.chapters)])
    while len(groups) > 1:
        stops = [*starts[1:], end]
        short = next((i for i, stop in enumerate(stops) if int(stop) - int(starts[i]) < SHORTEST), None)
        if short is None:
            break
        later = max(short, 1)
        groups[later - 1 : later + 1] = [groups[later - 1] + groups[later]]
        del starts[later]
    return tuple(
        ListedChapter(start, stop, _title(group))
        for group, start, stop in zip(groups, starts, [*starts[1:], end], strict=True)
    )


def _title(group: list[Chapter]) -> str:
    exercises = [chapter for chapter in group if chapter.kind == "exercise"]
    if exercises:
        return " + ".join(dict.fromkeys(one_line(chapter.title) for chapter in exercises))
    return one_line(max(group, key=lambda chapter: chapter.end - chapter.start).title)
