"""Stamped text: paragraphs that begin with ``[m:ss]``, ``(h:mm:ss)``, ``m:ss`` or ``h:mm:ss.s``.

The stamp may stand on a line of its own. A paragraph without a stamp goes on the one before it. The first
``# heading`` is the title; other headings and rules (``---``) carry no words.
"""

from __future__ import annotations

import re

from pipeline.transcripts.base import Draft, Passage
from pipeline.transcripts.speakers import find_speakers, label_tokens
from pipeline.transcripts.times import parse_clock

TIME = r"(?:\d{1,2}:)?\d{1,3}:\d{2}(?:[.,]\d{1,3})?"
BRACKETED = re.compile(
    rf"[*_`]{{0,3}}[\[(]\s*+({TIME})\s*+(?:(?:-|–|—|-->|to)\s*+({TIME})\s*+)?[\])][*_`]{{0,3}}:?", re.ASCII
)
BARE = re.compile(
    rf"[\s>*_`]*+(?:[-•]\s++)?[*_`]*+({TIME})(?:\s*+[-–—]\s*+({TIME}))?[*_`]*+(?:\s*+[-–—:|])?(?=\s|$)",
    re.ASCII,
)
HEADING = re.compile(r"\s*+#{1,6}\s+(.*)")
RULE = re.compile(r"\s*(?:-{3,}|\*{3,}|_{3,}|={3,})\s*")


def matches(text: str) -> bool:
    """Tell stamped text by a line that begins with a stamp."""
    return any(_stamps(line) for line in text.split("\n"))


def parse(text: str, name: str) -> Draft:
    """Read stamped text; words before the first stamp are left out."""
    draft = Draft(kind="stamped", timing="coarse")
    paragraphs: list[tuple[int, float, float | None, list[str]]] = []
    for number, line in enumerate(text.split("\n"), 1):
        heading = HEADING.fullmatch(line)
        if heading:
            draft.title = draft.title or heading[1].strip().rstrip("#").rstrip() or None
            continue
        if not line.strip() or RULE.fullmatch(line):
            continue
        position = 0
        for begin, stop, start, end in _stamps(line):
            if start is None:
                draft.notes.add(number, "a stamp that is no time; it goes on the paragraph before")
                continue
            _go_on(draft, paragraphs, number, line[position:begin])
            paragraphs.append((number, start, end, []))
            position = stop
        _go_on(draft, paragraphs, number, line[position:])
    texts = ["\n".join(said) for *_, said in paragraphs]
    speakers = find_speakers(texts)
    draft.passages = [
        Passage(number, start, end, label_tokens(text, speakers))
        for (number, start, end, _), text in zip(paragraphs, texts, strict=True)
    ]
    return draft


def _stamps(line: str) -> list[tuple[int, int, float | None, float | None]]:
    """Return ``(begin, stop, start, end)`` of the stamps of a line: a bare one only at its head."""
    found = list(BRACKETED.finditer(line))
    bare = BARE.match(line)
    if bare and not (found and found[0].start() < bare.end()):
        found.insert(0, bare)
    return [(m.start(), m.end(), parse_clock(m[1]), parse_clock(m[2]) if m[2] else None) for m in found]


def _go_on(draft: Draft, paragraphs: list[tuple[int, float, float | None, list[str]]], number: int, words: str) -> None:
    if not words.strip():
        return
    if paragraphs:
        paragraphs[-1][3].append(words)
    else:
        draft.notes.add(number, "left out: before the first stamp")
