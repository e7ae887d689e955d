"""The captions, cut anew from the words; ``caption_webvtt`` and its neighbours write them, a file a format.

What holds (from memory: the BBC Subtitle Guidelines for lines, breaks and pace, the DCMP Captioning Key for
lines, breaks and time on screen):

- two lines at most, 37 characters each or as many as asked for;
- cues and lines end where a phrase ends, never between a number and its noun (``caption_breaks``);
- a cue stays 1 to 7 seconds and asks for no more than 180 words a minute, for which it borrows from the
  silence around it (``caption_times``); where the speech itself is faster, the cue says so;
- no cue overlaps another; two are as one picture apart or at least two frames;
- a change of speaker starts a new cue, which opens with a dash;
- every word is kept, as it was said; counts are written as figures (``caption_figures``).

A single word that is longer than a line stands alone on its line, whole; ``notes_of`` lists it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.model import InputError, Record, Word
from pipeline.publish.caption_breaks import SPEAKER_DASH, Layout, cut_cues, line_of
from pipeline.publish.caption_figures import figures
from pipeline.publish.caption_times import WORDS_A_MINUTE, Spoken, is_too_fast, place_cues
from pipeline.publish.caption_words import rewrite
from pipeline.publish.clock import timestamp

LINE_LENGTH = 37
"""Characters of a line: the BBC Subtitle Guidelines' limit (from memory)."""

LEAST_LINE, MOST_LINE = 16, 80
"""Characters of a line that can be asked for; by judgement, from a word or two to a whole screen's width."""


@dataclass(frozen=True, slots=True)
class Caption:
    """One caption: when it shows (seconds), its one or two lines, who speaks, and whether it is too fast.

    The lines of another speaker than the last one's open with a dash. ``words`` is how many words it holds.
    ``too_fast`` is set where even with borrowed time it is not shown long enough to be read.
    """

    start: float
    end: float
    lines: tuple[str, ...]
    speaker: str | None
    words: int
    too_fast: bool

    @property
    def words_a_minute(self) -> float:
        """The pace at which it has to be read."""
        return 60 * self.words / (self.end - self.start)


def cut_captions(record: Record, line_length: int = LINE_LENGTH) -> tuple[Caption, ...]:
    """Return the captions of a record in rising order of time.

    Raises :class:`~pipeline.model.InputError` for a length of line that holds no words.
    """
    if not LEAST_LINE <= line_length <= MOST_LINE:
        remedy = f"{LEAST_LINE} to {MOST_LINE} characters"
        raise InputError("captions", None, f"lines of {line_length} characters cannot be cut", remedy)
    record = rewrite(record, figures(record))
    words = record.words
    layout = Layout(
        line_length,
        frozenset(number.words[1] - 1 for number in record.numbers),
        frozenset(piece.stop - 1 for piece in record.pieces),
        frozenset(i for i in range(1, len(words)) if words[i].speaker and words[i].speaker != words[i - 1].speaker),
    )
    cuts = cut_cues(words, layout)
    said = [words[cut.first : cut.stop] for cut in cuts]
    spoken = [Spoken(some[0].start, max(word.end for word in some), _count(some)) for some in said]
    captions = []
    for cut, one, (start, end) in zip(cuts, spoken, place_cues(spoken), strict=True):
        upper = SPEAKER_DASH * (cut.first in layout.turns) + line_of(words[cut.first : cut.split])
        lines = (upper, line_of(words[cut.split : cut.stop])) if cut.split < cut.stop else (upper,)
        fast = is_too_fast(one.words, start, end)
        captions.append(Caption(start, end, lines, words[cut.first].speaker, one.words, fast))
    return tuple(captions)


def notes_of(captions: tuple[Caption, ...], line_length: int = LINE_LENGTH) -> list[str]:
    """Return a sentence on each limit that some cues could not keep, with their times and figures; or none.

    Such cues are those spoken too fast to be read in time (with their words a minute), and those with a word
    longer than a line (with its characters).
    """
    fast = [f"{timestamp(one.start)} ({one.words_a_minute:.0f})" for one in captions if one.too_fast]
    long = [
        f"{timestamp(one.start)} ({longest})" for one in captions if (longest := max(map(len, one.lines))) > line_length
    ]
    notes = []
    if fast:
        notes.append(f"Speech too fast for {WORDS_A_MINUTE} words a minute, with the pace: {', '.join(fast)}")
    if long:
        notes.append(f"A word is longer than {line_length} characters: {', '.join(long)}")
    return notes


def _count(words: Sequence[Word]) -> int:
    return sum(len(word.text.split()) for word in words)
