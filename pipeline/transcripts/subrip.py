"""SubRip: a number, a line of times with an arrow, lines of text, a blank line.

There is no standard, and files are seldom clean: commas or points, numbers that are off or missing, blank
lines missing or doubled. So a cue is found by its line of times alone; everything up to the next such line is
its text, except a bare number right before that next line.
"""

from __future__ import annotations

import html
import re

from pipeline.transcripts.base import Draft, Passage
from pipeline.transcripts.speakers import find_speakers, label_tokens
from pipeline.transcripts.times import parse_clock

STAMP = r"(?:\d{1,4}\s*:\s*)?\d{1,3}\s*:\s*\d{1,2}(?:\s*[.,:]\s*\d{1,9})?"
TIMINGS = re.compile(rf"\s*({STAMP})\s*-{{1,3}}>\s*({STAMP})?(?:\s.*)?", re.ASCII)
TAG = re.compile(r"</?(?:i|b|u|s|em|strong|c|v|font|span)(?:[\s.=/][^<>]*)?>|\{\\[^{}]*\}|\{/?[ibus]\}", re.I)
NUMBER = re.compile(r"\s*\d+\s*", re.ASCII)
LINE_BREAK = re.compile(r"<br\s*/?>|\\N", re.I)
REFERENCE = re.compile(r"&#?\w{1,10};")


def matches(text: str) -> bool:
    """Tell SubRip by a line of times with an arrow."""
    return any("->" in line and TIMINGS.fullmatch(line) for line in text.split("\n"))


def parse(text: str, name: str) -> Draft:
    """Read a SubRip file. A line with an arrow that cannot be read as times is left out with its text."""
    draft = Draft(kind="subrip", timing="cue")
    lines = text.split("\n")
    timed = [n for n, line in enumerate(lines) if "-->" in line or TIMINGS.fullmatch(line)]
    numbered = any(NUMBER.fullmatch(line) for line in lines[: timed[0]])
    found: list[tuple[int, float, float | None, str]] = []
    for n, stop in zip(timed, [*timed[1:], len(lines)], strict=True):
        times = _parse_timings(lines[n])
        if times is None:
            draft.notes.add(n + 1, "left out: times that cannot be read (00:00:00,000 --> 00:00:00,000)")
            continue
        body = lines[n + 1 : stop]
        if stop < len(lines) and numbered:
            body = _without_number(body)
        found.append((n + 1, *times, _plain("\n".join(body))))
    speakers = find_speakers([said for *_, said in found])
    draft.passages = [Passage(line, start, end, label_tokens(said, speakers)) for line, start, end, said in found]
    return draft


def _parse_timings(line: str) -> tuple[float, float | None] | None:
    match = TIMINGS.fullmatch(line)
    if not match:
        return None
    start = _parse_stamp(match[1])
    end = _parse_stamp(match[2]) if match[2] else None
    return None if start is None else (start, end)


def _parse_stamp(text: str) -> float | None:
    text = re.sub(r"\s", "", text)
    return parse_clock(re.sub(r"^([^:]+:[^:]+:[^:]+):(\d+)$", r"\1.\2", text))


def _without_number(body: list[str]) -> list[str]:
    """Take off the next cue's number: the last line that is not blank, where it is a bare number."""
    filled = [n for n, line in enumerate(body) if line.strip()]
    return body[: filled[-1]] if filled and NUMBER.fullmatch(body[filled[-1]]) else body


def _plain(text: str) -> str:
    return REFERENCE.sub(lambda match: html.unescape(match[0]), TAG.sub("", LINE_BREAK.sub("\n", text)))
