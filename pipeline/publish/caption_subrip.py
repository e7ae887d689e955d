"""captions.srt: the captions as SubRip: a number, the times with a comma, the lines, a blank line.

SubRip has no standard; this is the form that every player reads (common practice), in UTF-8 with line feeds.
It has no place for notes, so the cues that are spoken too fast are named in captions.vtt and captions.ttml.
"""

from __future__ import annotations

from pipeline.model import Record
from pipeline.publish.captions import LINE_LENGTH, cut_captions
from pipeline.publish.clock import timestamp


def write(record: Record, *, line_length: int = LINE_LENGTH) -> str:
    """Return the text of captions.srt, with lines of at most ``line_length`` characters."""
    blocks = []
    for number, one in enumerate(cut_captions(record, line_length), 1):
        start, end = (timestamp(time).replace(".", ",") for time in (one.start, one.end))
        blocks.append(f"{number}\n{start} --> {end}\n" + "\n".join(one.lines) + "\n")
    return "\n".join(blocks)
