"""The frame of a WebVTT file: the header, notes, and cues with an identifier each.

The form is that of the W3C's WebVTT ("Syntax"); every file is UTF-8 with line feeds alone.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pipeline.publish.clock import timestamp


@dataclass(frozen=True, slots=True)
class VttCue:
    """One cue; ``payload`` is what stands below its times, already in the form that its track asks for."""

    start: float
    end: float
    payload: str


def webvtt_file(cues: Iterable[VttCue], notes: Iterable[str] = ()) -> str:
    """Return the text of a WebVTT file; a cue that would be shorter than a millisecond is stretched to it.

    A cue's end must be greater than its start ("WebVTT cue timings").
    """
    blocks = ["WEBVTT"]
    # A comment block must not hold "-->" ("WebVTT comment block").
    blocks += ["NOTE " + one_line(note).replace("-->", "->") for note in notes]
    for number, cue in enumerate(cues, 1):
        end = max(cue.end, cue.start + 0.001)
        blocks.append(f"{number}\n{timestamp(cue.start)} --> {timestamp(end)}\n{cue.payload}")
    return "\n\n".join(blocks) + "\n"


def escape_text(text: str) -> str:
    """Return text for a cue that is parsed: ``&``, ``<``, ``>`` as references ("WebVTT cue text span")."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def one_line(text: str) -> str:
    """Return text without line breaks, every run of blanks made one."""
    return " ".join(text.split())
