"""WebVTT, as the W3C defines it, and the rolling form that automatic captioners write.

Blocks are told apart by the rules of W3C WebVTT (https://www.w3.org/TR/webvtt1/), 6.1 "WebVTT file parsing":
what has no line with ``-->`` is header text, NOTE, STYLE or REGION, and carries no words.

In the rolling form each cue shows the line before it once more, above the new one:

    00:01.000 --> 00:03.000         00:03.000 --> 00:05.000
    now sit down                    now sit down
                                    and<00:03.400><c> stand</c><00:03.900><c> up</c>

so that a reader that takes each cue as it stands has every word two or three times.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from itertools import pairwise

from pipeline.transcripts import subrip
from pipeline.transcripts.base import Draft, Notes, Passage, Token
from pipeline.transcripts.cue_text import parse_lines, parse_timestamp

ROLLING_SHARE = 0.4
"""Of all cues that follow another: where more than this share repeat it and go on, the file is rolling.
Coaches do say a line twice; they do not do so at every second cue."""

TIMED_SHARE = 0.5
"""Of all words: where more than this share are timed one by one, the source's timing is "word"."""

FLASH = 0.1
"""Seconds. Captioners that roll put a cue shorter than this between two others, with nothing new in it."""

ARROW = "-->"
TIMINGS = re.compile(r"[ \t\f]*([\d:.]+)[ \t\f]*-->[ \t\f]*([\d:.]+)(.*)")


@dataclass(frozen=True, slots=True)
class Cue:
    """One cue as written: ``line`` (from 1) of its timings, times in seconds, its text with tags."""

    line: int
    start: float
    end: float
    text: str


Line = tuple[Token, ...]
Shown = tuple[Cue, list[Line]]


def matches(text: str) -> bool:
    """Tell a WebVTT file: its first line is ``WEBVTT``, alone or before a blank (6.1)."""
    return re.match(r"WEBVTT(?:[ \t\n]|$)", text) is not None


def parse(text: str, name: str) -> Draft:
    """Read a WebVTT file; cues whose timings cannot be read are left out, as browsers do."""
    draft = Draft(kind="webvtt", timing="cue")
    cues = parse_cues(text, draft.notes)
    if not cues and subrip.matches(text):
        draft = subrip.parse(text, name)
        draft.notes.add(None, "The file calls itself WebVTT, but its times are those of SubRip and were read as such")
        return draft
    shown = [(cue, lines) for cue in cues if (lines := parse_lines(cue.text))]
    if _is_rolling(shown):
        shown = _unroll(shown)
    for cue, lines in shown:
        words = tuple(word for line in lines for word in line)
        if any(word.start is not None for word in words) and words[0].start is None:
            words = (replace(words[0], start=cue.start), *words[1:])
        draft.passages.append(Passage(cue.line, cue.start, cue.end, words))
    words = tuple(word for passage in draft.passages for word in passage.tokens)
    if sum(word.start is not None for word in words) > TIMED_SHARE * len(words):
        draft.timing = "word"
    return draft


def parse_cues(text: str, notes: Notes | None = None) -> list[Cue]:
    """Return all cues in the order of the file."""
    notes = notes or Notes()
    lines = text.split("\n")
    at, cues = _skip_header(lines), list[Cue]()
    while at < len(lines):
        if not lines[at]:
            at += 1
            continue
        timings_at = next((n for n in (at, at + 1) if n < len(lines) and ARROW in lines[n]), None)
        start = at if timings_at is None else timings_at + 1
        at = start
        while at < len(lines) and lines[at] and ARROW not in lines[at]:
            at += 1
        if timings_at is None:
            continue
        times = _parse_timings(lines[timings_at])
        if times is None:
            notes.add(timings_at + 1, "left out: not the times of a cue (mm:ss.ttt --> mm:ss.ttt)")
        else:
            cues.append(Cue(timings_at + 1, *times, "\n".join(lines[start:at])))
    return cues


def _skip_header(lines: list[str]) -> int:
    """Return the first line after the header block, which a blank line or a line with an arrow ends."""
    at = 1
    while at < len(lines) and lines[at] and ARROW not in lines[at]:
        at += 1
    return at


def _parse_timings(line: str) -> tuple[float, float] | None:
    match = TIMINGS.fullmatch(line)
    if not match:
        return None
    start, end = parse_timestamp(match[1]), parse_timestamp(match[2])
    return None if start is None or end is None else (start, end)


def _is_rolling(shown: list[Shown]) -> bool:
    """Tell the rolling form: cue after cue repeats the one before it, and goes on or is gone in a flash."""
    pairs = list(pairwise(shown))
    rolls = 0
    for (_, before), (cue, after) in pairs:
        left = _without_repeat(before, after)
        rolls += left != after and (bool(left) or cue.end - cue.start <= FLASH)
    return len(pairs) > 1 and rolls > ROLLING_SHARE * len(pairs)


def _unroll(shown: list[Shown]) -> list[Shown]:
    """Keep of every cue what the one before it did not show.

    Where words are timed, the first new one is said as the cue starts; its line may be that word alone.
    """
    timed = any(word.start is not None for _, lines in shown for line in lines for word in line)
    kept: list[Shown] = []
    before: list[Line] = []
    for cue, lines in shown:
        left = _without_repeat(before, lines)
        before = lines
        if left and timed and left[0][0].start is None:
            left = [(replace(left[0][0], start=cue.start), *left[0][1:]), *left[1:]]
        if left:
            kept.append((cue, left))
    starts = [cue.start for cue, _ in kept[1:]]
    return [
        (replace(cue, end=max(cue.start, min(cue.end, start))), lines)
        for (cue, lines), start in zip(kept, [*starts, float("inf")], strict=True)
    ]


def _without_repeat(before: list[Line], after: list[Line]) -> list[Line]:
    """Take off the lines that the cue before showed last; or, where a line grows word by word, its words.

    A line whose words are timed is being said, and so is no repeat.
    """
    old, new = [_text(line) for line in before], [_text(line) for line in after]
    said = [any(word.start is not None for word in line) for line in after]
    for count in range(min(len(old), len(new)), 0, -1):
        if old[-count:] == new[:count] and not any(said[:count]):
            return after[count:]
    words = [word for line in after for word in line]
    flat_old = " ".join(old).split()
    if flat_old and len(words) > len(flat_old) and [word.text for word in words[: len(flat_old)]] == flat_old:
        return [tuple(words[len(flat_old) :])]
    return after


def _text(line: Line) -> str:
    return " ".join(word.text for word in line)
