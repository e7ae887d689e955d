"""Where captions and their lines break.

A cue's end and a line's end have a cost each, lower at a pause or a punctuation mark, high after a word
that leans on the next. The cheapest way to cut the whole transcript is found with a dynamic program over the
words, so that a good end here is not paid for with a bad one two cues later.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from pipeline.model import Word
from pipeline.publish.caption_times import LONGEST, SHORTEST, WORDS_A_SECOND

# Costs by judgement, in units of a caption's end after a piece of the source (PIECE_END): a sentence's end is free,
# a comma's nearly so, a break between two content words is felt, one after "the" hurts, one in a number's phrase is
# wrong. The costs of length, width and time are on the same scale, each for one of what is named beside it.
SENTENCE_END = 0.0
CLAUSE_END = 0.6
PIECE_END = 1.0
BEFORE_LINK = 1.6
PLAIN = 3.0
AFTER_LEANING = 7.0
NEAR_NUMBER = 5.0
STRANDED = 1.5  # a word or two that open a sentence and are cut off from it
IN_NUMBER = 60.0
PAUSE_WORTH = 2.5  # a full PAUSE takes this much off a break
PAUSE = 0.6  # seconds of silence that end a phrase
NUMBER_PAUSE = 1.5  # seconds of silence after which a number has no noun to come
CUE_COST = 1.2  # each cue costs, so that half a sentence is not split for nothing
LINE_BREAK_SHARE = 0.6  # a line's end weighs less than a cue's
UNEVEN_LINES = 0.03  # a character of difference between two lines
HURRY_COST = 4.0  # a second that a reader lacks until the next cue
WAIT_COST = 2.0  # a second beyond PAUSE that a word shows before it is said
TOO_LONG_COST = 30.0  # a second over the longest time on screen
TOO_WIDE_COST = 1000.0  # a word of a line that does not fit, which one overlong word alone may cause

_SENTENCE = re.compile(r"""[.!?…]["'”’)\]]*$""")
_CLAUSE = re.compile(r"""[,;:–—]["'”’)\]]*$|^[-–—]$""")
_FIGURE = re.compile(r"^\W*\d")

# Closed classes of English words. After the first a line should not end, before the second it may well begin.
_LEANING = """
    a an the my your his her its our their this that these those some any no every each both few many
    of to in on at by for with from into onto over under between through about as than like
    and or but so because if when while that which who
    i you he she it we they i'm you're he's she's it's we're they're i've you've we've i'll you'll we'll let's
    is are was were be been am do does did don't can can't could will won't would should must may might have
    has had not very really just too more another
"""
_LINKS = """
    and or but so because if when while then that which who as than until before after with without for from
    to into onto in on at by of over under through
"""
LEANING = frozenset(_LEANING.split())
LINKS = frozenset(_LINKS.split())


SPEAKER_DASH = "- "
"""Opens a cue of another speaker than the last one's (BBC Subtitle Guidelines, from memory: dashes)."""


@dataclass(frozen=True, slots=True)
class Layout:
    """What lines are laid out by: their length in characters, and what is known of the words.

    ``numbers`` are the indices of words that end a number, ``piece_ends`` those that end a piece of the
    source, ``turns`` those with which another speaker begins.
    """

    line_length: int
    numbers: frozenset[int] = frozenset()
    piece_ends: frozenset[int] = frozenset()
    turns: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class CueCut:
    """The words ``first`` to ``stop`` of one cue; ``split`` begins the second line, or is ``stop``."""

    first: int
    split: int
    stop: int


def cut_cues(words: Sequence[Word], layout: Layout) -> list[CueCut]:
    """Return the cues in order, which hold all the words together."""
    best = [0.0] + [float("inf")] * len(words)
    back = [0] * (len(words) + 1)
    ends = [_break_cost(words, i, layout) for i in range(len(words))]
    lines = _Lines(words, ends, layout)
    # No two lines hold more words than this, of a letter and a blank each.
    most_words = layout.line_length
    for stop in range(1, len(words) + 1):
        for first in range(stop - 1, max(stop - most_words, 0) - 1, -1):
            if stop - first > 1 and words[first].speaker != words[first + 1].speaker:
                break
            width = lines.cost(first, stop)
            cost = best[first] + CUE_COST + ends[stop - 1] + width + _time_cost(words, first, stop)
            if cost < best[stop]:
                best[stop], back[stop] = cost, first
            if width >= TOO_WIDE_COST:
                break
    cuts = []
    stop = len(words)
    while stop:
        cuts.append(CueCut(back[stop], lines.best_split(back[stop], stop), stop))
        stop = back[stop]
    return cuts[::-1]


def line_of(words: Sequence[Word]) -> str:
    """Return words as they stand on a line, without line breaks of their own."""
    return " ".join(_written(word) for word in words)


class _Lines:
    """The widths of stretches of words and the best way to lay one out in two lines."""

    def __init__(self, words: Sequence[Word], ends: Sequence[float], layout: Layout) -> None:
        self.ends = ends
        self.layout = layout
        self.marks = [0]
        for word in words:
            self.marks.append(self.marks[-1] + len(_written(word)) + 1)

    def width(self, first: int, stop: int) -> int:
        dash = len(SPEAKER_DASH) * (first in self.layout.turns)
        return self.marks[stop] - self.marks[first] - 1 + dash

    def cost(self, first: int, stop: int) -> float:
        """Return the cost of the line break that a cue needs, in units of PIECE_END; 0 where one line holds it."""
        return self._split_cost(first, self.best_split(first, stop), stop)

    def best_split(self, first: int, stop: int) -> int:
        """Return the word that begins the second line, ``stop`` where one line holds all."""
        if self.width(first, stop) <= self.layout.line_length or stop - first == 1:
            return stop
        return min(range(first + 1, stop), key=lambda split: self._split_cost(first, split, stop))

    def _split_cost(self, first: int, split: int, stop: int) -> float:
        over = self._over(first, split)
        if split == stop:
            return over
        over += self._over(split, stop)
        upper, lower = self.width(first, split), self.width(split, stop)
        return over + self.ends[split - 1] * LINE_BREAK_SHARE + UNEVEN_LINES * abs(upper - lower)

    def _over(self, first: int, stop: int) -> float:
        """Return the cost of a line that does not fit: least where an overlong word stands alone on it."""
        return TOO_WIDE_COST * (stop - first) * (self.width(first, stop) > self.layout.line_length)


def _break_cost(words: Sequence[Word], index: int, layout: Layout) -> float:
    """Return the cost of a break after the word at ``index``, from SENTENCE_END to IN_NUMBER."""
    if index + 1 >= len(words) or words[index].speaker != words[index + 1].speaker:
        return 0.0
    text, after = words[index].text, _bare(words[index + 1].text)
    if _SENTENCE.search(text):
        return SENTENCE_END
    silence = max(words[index + 1].start - words[index].end, 0.0)
    pause = min(silence / PAUSE, 1.0) * PAUSE_WORTH
    pause -= STRANDED * any(_SENTENCE.search(word.text) for word in words[max(index - 2, 0) : index])
    if _CLAUSE.search(text):
        return max(CLAUSE_END - pause, SENTENCE_END)
    counts = index in layout.numbers or _FIGURE.match(text)
    if counts and silence < NUMBER_PAUSE and (after not in LINKS or _goes_on(words, index + 1, layout)):
        return IN_NUMBER
    if _bare(text) in LEANING:
        cost = AFTER_LEANING
    elif index - 1 in layout.numbers and not _CLAUSE.search(words[index - 1].text):
        # "twelve little | pulses": the noun may be the word after the next.
        cost = NEAR_NUMBER
    elif index in layout.piece_ends:
        cost = PIECE_END
    else:
        cost = BEFORE_LINK if after in LINKS else PLAIN
    return max(cost - pause, SENTENCE_END)


def _goes_on(words: Sequence[Word], index: int, layout: Layout) -> bool:
    """Return whether a link after a number is part of its phrase: "ten of", "three to go", "three to one"."""
    link = _bare(words[index].text)
    if link != "to" or index + 1 >= len(words):
        return link == "of"
    after = words[index + 1].text
    return _bare(after) == "go" or index + 1 in layout.numbers or _FIGURE.match(after) is not None


def _time_cost(words: Sequence[Word], first: int, stop: int) -> float:
    """Return the cost of a cue that leaves no time to read, runs ahead of the speech, or stays too long."""
    start, end = words[first].start, words[stop - 1].end
    room = (words[stop].start if stop < len(words) else end + LONGEST) - start
    needed = max((stop - first) / WORDS_A_SECOND, SHORTEST)
    cost = HURRY_COST * max(needed - room, 0.0)
    for i in range(first, stop - 1):
        cost += WAIT_COST * max(words[i + 1].start - words[i].end - PAUSE, 0.0)
    if stop - first > 1:
        cost += TOO_LONG_COST * max(end - start - LONGEST, 0.0)
    return cost


def _written(word: Word) -> str:
    return " ".join(word.text.split())


@lru_cache(maxsize=4096)
def _bare(text: str) -> str:
    return text.lower().replace("’", "'").strip("\"'“”‘.,;:!?…()[]–—-")
