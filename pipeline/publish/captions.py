"""captions.vtt: the captions, cut anew from the words.

What holds (from memory: the BBC Subtitle Guidelines for lines, breaks and pace, the DCMP Captioning Key for
lines, breaks and time on screen):

- two lines at most, 37 characters each, without the voice tag;
- cues and lines end where a phrase ends, never between a number and its noun (``caption_breaks``);
- a cue stays 1 to 7 seconds and asks for no more than 180 words a minute, for which it borrows from the
  silence around it (``caption_times``); where the speech itself is faster, a NOTE at the top names the cue;
- no cue overlaps another; two are as one picture apart or at least two frames;
- a change of speaker starts a new cue, and a ``<v Name>`` span says who speaks, where the words know it;
- every word is kept, as it was said and written.

A single word that is longer than a line stands alone on its line, whole.
"""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.model import Record, Word
from pipeline.publish.caption_breaks import break_lines, cut_cues
from pipeline.publish.caption_times import Spoken, is_too_fast, place_cues
from pipeline.publish.clock import timestamp
from pipeline.publish.webvtt_file import VttCue, escape_text, one_line, webvtt_file


@dataclass(frozen=True, slots=True)
class Caption:
    """One caption: when it shows (seconds), its one or two lines, who speaks, and whether it is too fast.

    ``too_fast`` is set where even with borrowed time it is not shown for a second and 180 words a minute.
    """

    start: float
    end: float
    lines: tuple[str, ...]
    speaker: str | None
    too_fast: bool


def write(record: Record) -> str:
    """Return the text of captions.vtt."""
    captions = cut_captions(record)
    fast = [timestamp(one.start) for one in captions if one.too_fast]
    notes = ["Spoken too fast to be read in time: " + ", ".join(fast)] if fast else []
    return webvtt_file((VttCue(one.start, one.end, _payload(one)) for one in captions), notes)


def cut_captions(record: Record) -> tuple[Caption, ...]:
    """Return the captions of a record in rising order of time."""
    words = record.words
    numbers = frozenset(number.words[1] - 1 for number in record.numbers)
    piece_ends = frozenset(piece.stop - 1 for piece in record.pieces)
    cuts = cut_cues(words, numbers, piece_ends)
    spoken = [Spoken(words[a].start, _spoken_end(words, a, b), b - a) for a, b in cuts]
    times = place_cues(spoken)
    return tuple(
        Caption(
            start,
            end,
            break_lines(words, first, stop, numbers, piece_ends),
            words[first].speaker,
            is_too_fast(stop - first, start, end),
        )
        for (first, stop), (start, end) in zip(cuts, times, strict=True)
    )


def _spoken_end(words: tuple[Word, ...], first: int, stop: int) -> float:
    return max(word.end for word in words[first:stop])


def _payload(caption: Caption) -> str:
    text = "\n".join(escape_text(line) for line in caption.lines)
    if not caption.speaker:
        return text
    # An annotation holds no line break and no ">" (W3C WebVTT, "WebVTT cue span start tag
    # annotation text").
    name = escape_text(one_line(caption.speaker))
    return f"<v {name}>{text}</v>"
