"""The text of a WebVTT cue: its tags, voices, character references and inline times.

After W3C WebVTT (https://www.w3.org/TR/webvtt1/), 6.4 "WebVTT cue text parsing rules": the tokenizer takes
a start tag as ``<name.classes annotation>``, an end tag as ``</name>``, a timestamp tag as ``<`` and a digit;
a tag that is never closed runs to the end of the cue; unknown tags are dropped and their text stays.
"""

from __future__ import annotations

import html
import re
from dataclasses import dataclass, replace

from pipeline.transcripts.base import Token

TAG = re.compile(r"<([^>]*)(?:>|$)")
TIMESTAMP = re.compile(r"(?:(\d+):)?([0-5]\d):([0-5]\d)\.(\d{3})", re.ASCII)
OPENING_TAGS = frozenset({"c", "i", "b", "u", "ruby", "rt", "v", "lang"})


@dataclass(frozen=True, slots=True)
class Run:
    """Text between two tags; ``time`` is that of the timestamp tag right before it, in seconds."""

    text: str
    speaker: str | None
    time: float | None


def parse_timestamp(text: str) -> float | None:
    """Return the seconds of a WebVTT timestamp (hours may be left out), or ``None``."""
    match = TIMESTAMP.fullmatch(text)
    if not match or len(match[1] or "") > 9:
        return None
    hours, minutes, seconds, thousandths = (int(part or 0) for part in match.groups())
    return hours * 3600 + minutes * 60 + seconds + thousandths / 1000


def parse_runs(text: str) -> list[Run]:
    """Cut the text of a cue at its tags."""
    runs: list[Run] = []
    open_tags: list[tuple[str, str | None]] = [("", None)]  # with the speaker inside each
    time: float | None = None
    position = 0
    for match in TAG.finditer(text):
        time = _add(runs, text[position : match.start()], open_tags[-1][1], time)
        position = match.end()
        inside = match[1]
        if inside.startswith("/"):
            if len(open_tags) > 1 and open_tags[-1][0] == inside[1:]:
                open_tags.pop()
        elif inside[:1].isdigit():
            stamp = parse_timestamp(inside)
            time = time if stamp is None else stamp
        else:
            name, annotation = re.split(r"[\s.]", inside, maxsplit=1)[0], re.sub(r"^\S*\s*", "", inside)
            if name in OPENING_TAGS:
                said_by = " ".join(html.unescape(annotation).split()) if name == "v" else ""
                open_tags.append((name, said_by or open_tags[-1][1]))
    _add(runs, text[position:], open_tags[-1][1], time)
    return runs


def plain_text(text: str) -> str:
    """Return the text of a cue as it is shown, its lines kept."""
    return "".join(run.text for run in parse_runs(text))


def parse_lines(text: str) -> list[tuple[Token, ...]]:
    """Return the words of each line of a cue; a word takes voice and inline time from where it begins."""
    lines: list[list[tuple[Token, list[str]]]] = [[]]
    within = False
    for run in parse_runs(text):
        time = run.time
        for part in re.split(r"(\s+)", run.text):
            if not part:
                continue
            if part.isspace():
                lines += [[] for _ in range(part.count("\n"))]
                within = False
            elif within:
                lines[-1][-1][1].append(part)
            else:
                lines[-1].append((Token("", start=time, speaker=run.speaker), [part]))
                time, within = None, True
    return [tuple(replace(word, text="".join(parts)) for word, parts in line) for line in lines if line]


def _add(runs: list[Run], text: str, speaker: str | None, time: float | None) -> float | None:
    """Add a run and return the time that is left for the next one: a time is spent by the first word."""
    if not text:
        return time
    runs.append(Run(html.unescape(text), speaker, time))
    return time if text.isspace() else None
