"""captions.vtt: the captions as WebVTT.

Who speaks stands in a ``<v Name>`` span, where the words know it. NOTEs at the top name the cues that
are spoken too fast to be read in time, and words longer than a line.
"""

from __future__ import annotations

from pipeline.model import Record
from pipeline.publish.captions import LINE_LENGTH, Caption, cut_captions, notes_of
from pipeline.publish.webvtt_file import VttCue, escape_text, one_line, webvtt_file


def write(record: Record, *, line_length: int = LINE_LENGTH) -> str:
    """Return the text of captions.vtt, with lines of at most ``line_length`` characters."""
    captions = cut_captions(record, line_length)
    return webvtt_file((VttCue(one.start, one.end, _payload(one)) for one in captions), notes_of(captions, line_length))


def _payload(caption: Caption) -> str:
    text = "\n".join(escape_text(line) for line in caption.lines)
    if not caption.speaker:
        return text
    # An annotation holds no line break and no ">" (W3C WebVTT, "WebVTT cue span start tag
    # annotation text").
    name = escape_text(one_line(caption.speaker))
    return f"<v {name}>{text}</v>"
