"""Captions that are already made: whether the figures in them are those that were spoken.

The words of the captions are laid beside the words spoken, with the fewest changes; numbers count as the same
however they are written. The time of a number is that of its caption, which may come a little before or after
its voice, so that it can be read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pipeline.compare.onscreen import Shown
from pipeline.compare.shift import find_shift
from pipeline.compare.verdicts import TOLERANCE, Comparison, Shift, Verdict, VerdictKind
from pipeline.model import Record
from pipeline.publish.caption_figures import figures, whole_number
from pipeline.publish.caption_times import EARLIEST, LATEST

NEIGHBOURS = 2
"""Words between a number that is missing and one that is too many, which are then one that is wrong."""

_WORDS = re.compile(r"\d+(?:[.,]\d+)?|[^\W\d_]+(?:['’][^\W\d_]+)*")


@dataclass(frozen=True, slots=True)
class _Token:
    """A word as it is compared: a number as figures. ``origin`` is the index of its word or its cue."""

    text: str
    written: str
    origin: int

    @property
    def is_number(self) -> bool:
        return self.text[0].isdigit()


def share_of_speech(record: Record, shown: Sequence[Shown]) -> float:
    """Return the share of the words spoken that a file holds in their order."""
    from rapidfuzz.distance import LCSseq

    spoken = [token.text for token in _spoken_tokens(record)]
    held = LCSseq.similarity(spoken, [token.text for token in _shown_tokens(shown)])
    return float(held) / len(spoken) if spoken else 0.0


def check(record: Record, shown: Sequence[Shown]) -> Comparison:
    """Return the verdicts on the numbers of captions."""
    spoken, seen = _spoken_tokens(record), _shown_tokens(shown)
    pairs = _aligned(spoken, seen)
    firsts = _first_words(pairs, seen)
    times = {cue: record.words[spoken[i].origin].start for cue, i in firsts.items()}
    shift = find_shift([(shown[cue].start, [time]) for cue, time in times.items()])
    off = {cue: round(shift.undone(shown[cue].start) - time, 3) for cue, time in times.items()}
    counted = _counted(record)
    verdicts = []
    for i, j in pairs:
        said, read = (spoken[i] if i is not None else None), (seen[j] if j is not None else None)
        number_said = said if said and said.is_number else None
        number_read = read if read and read.is_number else None
        if number_said is None and (number_read is None or not number_read.written[0].isdigit()):
            continue
        # A "one" that counts nothing may be left out or reworded.
        if number_read is None and number_said is not None and number_said.origin not in counted:
            continue
        verdicts.append(_verdict(record, shown, number_said, number_read, off, shift))
    return Comparison("captions", shift, tuple(sorted(verdicts, key=lambda one: one.time)))


def _tokens(texts: Iterator[tuple[int, str]]) -> list[_Token]:
    """Return the words of texts; a number of two words ("twenty one") is one, unless a sign parts them."""
    tokens: list[_Token] = []
    open_number = False
    for origin, text in texts:
        for found in _WORDS.finditer(text):
            word = found[0]
            value = whole_number(word)
            token = _Token(str(value) if value is not None else word.lower().replace("’", "'"), word, origin)
            if open_number and value is not None and _parts_of_one(tokens[-1], token):
                written = f"{tokens[-1].written} {word}"
                tokens[-1] = _Token(str(whole_number(written)), written, tokens[-1].origin)
            else:
                tokens.append(token)
            open_number = value is not None and text[found.end() : found.end() + 1] in ("", " ", "-", "\n")
    return tokens


def _parts_of_one(tens: _Token, ones: _Token) -> bool:
    return whole_number(f"{tens.written} {ones.written}") is not None


def _spoken_tokens(record: Record) -> list[_Token]:
    return _tokens((index, word.text) for index, word in enumerate(record.words))


def _shown_tokens(shown: Sequence[Shown]) -> list[_Token]:
    return _tokens((index, one.text) for index, one in enumerate(shown))


def _counted(record: Record) -> set[int]:
    """Return the indices of the words that captions write as figures, or that are figures as written."""
    words = {i for one in figures(record) for i in range(*one.words)}
    return words | {i for i, word in enumerate(record.words) if re.search(r"\d", word.text)}


def _aligned(spoken: Sequence[_Token], seen: Sequence[_Token]) -> list[tuple[int | None, int | None]]:
    """Return pairs of a word spoken and a word shown; ``None`` stands for what has no partner."""
    from rapidfuzz.distance import Levenshtein

    pairs: list[tuple[int | None, int | None]] = []
    for step in Levenshtein.opcodes([one.text for one in spoken], [one.text for one in seen]):
        said, read = range(step.src_start, step.src_end), range(step.dest_start, step.dest_end)
        if step.tag in ("equal", "replace"):
            pairs += zip(said, read, strict=True)
        else:
            pairs += [(i, None) for i in said] + [(None, j) for j in read]
    return _rejoined(pairs, spoken, seen)


def _rejoined(
    pairs: list[tuple[int | None, int | None]], spoken: Sequence[_Token], seen: Sequence[_Token]
) -> list[tuple[int | None, int | None]]:
    """Join a number spoken but not shown to one close by that is shown but not spoken."""
    said_alone = [k for k, (i, j) in enumerate(pairs) if i is not None and spoken[i].is_number and not _reads(j, seen)]
    read_alone = [k for k, (i, j) in enumerate(pairs) if j is not None and seen[j].is_number and not _says(i, spoken)]
    for k in said_alone:
        near = [m for m in read_alone if 0 < abs(m - k) <= NEIGHBOURS]
        if near:
            (i, j), (h, read) = pairs[k], pairs[near[0]]
            pairs[k], pairs[near[0]] = (i, read), (h, j)
            read_alone.remove(near[0])
    return [pair for pair in pairs if pair != (None, None)]


def _reads(j: int | None, seen: Sequence[_Token]) -> bool:
    return j is not None and seen[j].is_number


def _says(i: int | None, spoken: Sequence[_Token]) -> bool:
    return i is not None and spoken[i].is_number


def _first_words(pairs: Sequence[tuple[int | None, int | None]], seen: Sequence[_Token]) -> dict[int, int]:
    """Return for each cue the word spoken that its first word is, where both are the same word."""
    partner = {j: i for i, j in pairs if i is not None and j is not None}
    firsts: dict[int, int] = {}
    for j, token in enumerate(seen):
        opens = j == 0 or seen[j - 1].origin != token.origin
        if opens and j in partner:
            firsts[token.origin] = partner[j]
    return firsts


def _verdict(
    record: Record,
    shown: Sequence[Shown],
    said: _Token | None,
    read: _Token | None,
    off: dict[int, float],
    shift: Shift,
) -> Verdict:
    due = said.written if said else ""
    index = said.origin if said else None
    which = next((n.set for n in record.numbers if index is not None and n.words[0] == index), None)
    if read is None:
        time = record.words[said.origin].start if said else 0.0
        return Verdict("missing", round(shift.done(time), 3), "", due, set=which)
    cue = shown[read.origin]
    late = off.get(read.origin)
    kind: VerdictKind = "agrees"
    if said is None:
        kind = "extra"
    elif said.text != read.text:
        kind = "wrong number"
    elif late is not None and late > LATEST + TOLERANCE:
        kind = "late"
    elif late is not None and late < -(EARLIEST + TOLERANCE):
        kind = "early"
    return Verdict(kind, cue.start, read.written, due, off=late, set=which, place=read.origin + 1)
