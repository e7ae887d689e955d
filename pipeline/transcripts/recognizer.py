"""A speech recogniser's JSON: ``segments[] {start, end, text, words[] {word, start, end, probability}}``.

``words`` may be missing, ``speaker`` may be there; a bare list of segments will do. Times are seconds.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from typing import Any

from pipeline.model import InputError
from pipeline.transcripts.base import Draft, Notes, Passage, Token, tokens, usable_time

REMEDY = 'accepted is {"segments": [{"start", "end", "text", "words": [{"word", "start", "end"}]}]}'
SEPARATORS = re.compile(r"[ \t\n,]*")
TIMED_SHARE = 0.5
"""Of all words: where more than this share are timed one by one, the source's timing is "word"."""


def matches(text: str) -> bool:
    """Tell JSON by its first two signs; a stamp such as ``[0:12]`` is none."""
    return re.match(r"\s*(?:\{\s*[\"}]|\[\s*[\[{\]])", text) is not None


def parse(text: str, name: str) -> Draft:
    """Read a recogniser's JSON; of a file that breaks off, the segments before the break."""
    notes = Notes(place="segment")
    try:
        document = json.loads(text)
    except json.JSONDecodeError as error:
        document = {"segments": list(_segments_before_break(text))}
        if not document["segments"]:
            raise InputError(name, error.lineno, f"broken JSON ({error.msg})", REMEDY) from error
        count = len(document["segments"])
        notes.add(None, f"line {error.lineno}: the JSON breaks off; whole segments read before that: {count}")
    except (RecursionError, ValueError) as error:
        raise InputError(name, 1, "JSON that nests or counts beyond reason", REMEDY) from error
    segments = document.get("segments") if isinstance(document, dict) else document
    if not isinstance(segments, list):
        raise InputError(name, 1, "JSON without a list of segments", REMEDY)
    return draft_segments(segments, notes)


def draft_segments(segments: Sequence[Any], notes: Notes | None = None) -> Draft:
    """Make a draft of segments as a recogniser gives them (dicts, see the head of this module)."""
    draft = Draft(kind="recognizer", timing="cue", notes=notes or Notes(place="segment"))
    for number, segment in enumerate(segments, 1):
        passage = _read_segment(segment, number)
        if passage is None:
            draft.notes.add(number, "left out: no start or no text")
        else:
            draft.passages.append(passage)
    words = [token for passage in draft.passages for token in passage.tokens]
    if sum(token.start is not None for token in words) > TIMED_SHARE * len(words):
        draft.timing = "word"
    return draft


def _read_segment(segment: Any, number: int) -> Passage | None:
    if not isinstance(segment, dict):
        return None
    listed = segment.get("words")
    speaker = segment.get("speaker")
    speaker = speaker if isinstance(speaker, str) and speaker.strip() else None
    words = _read_words(listed, speaker) if isinstance(listed, list) else ()
    text = segment.get("text")
    if not words and isinstance(text, str):
        words = tokens(text, speaker)
    start, end = _number(segment.get("start")), _number(segment.get("end"))
    if start is None:
        start = next((word.start for word in words if word.start is not None), None)
    return None if start is None or not words else Passage(number, start, end, words)


def _read_words(listed: list[Any], speaker: str | None) -> tuple[Token, ...]:
    """Read a segment's words. Where words bring the blank before them, one without goes on the last one."""
    pairs = [(word, text) for word in listed if isinstance(word, dict) and (text := _word_text(word))]
    spaced = any(text[0].isspace() for _, text in pairs)
    out: list[Token] = []
    for word, text in pairs:
        start, end = _number(word.get("start")), _number(word.get("end"))
        chance = _number(word.get("probability", word.get("confidence")))
        probability = min(chance, 1.0) if chance is not None else None
        for k, part in enumerate(text.split()):
            if k == 0 and spaced and out and not text[0].isspace():
                last = out[-1]
                out[-1] = Token(last.text + part, last.start, end or last.end, speaker, last.probability)
            else:
                out.append(Token(part, start if k == 0 else None, end, speaker, probability))
    return tuple(out)


def _word_text(word: dict[str, Any]) -> str:
    text = word.get("word", word.get("text"))
    return text if isinstance(text, str) and text.strip() else ""


def _number(value: Any) -> float | None:
    """Return a JSON number, or a string that is one, as seconds; ``None`` for all else."""
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        return None
    try:
        seconds = float(value)
    except (ValueError, OverflowError):
        return None
    if -1.0 < seconds < 0.0:
        return 0.0
    return seconds if usable_time(seconds) else None


def _segments_before_break(text: str) -> Iterator[Any]:
    """Decode whole segments one by one from a JSON text that breaks off."""
    begin = re.search(r"\"segments\"\s*:\s*\[|^\s*\[", text)
    at, decoder = (begin.end() if begin else len(text)), json.JSONDecoder()
    while at < len(text):
        between = SEPARATORS.match(text, at)
        at = between.end() if between else at
        try:
            segment, at = decoder.raw_decode(text, at)
        except (ValueError, RecursionError):
            return
        yield segment
