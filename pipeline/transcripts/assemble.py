"""From a reader's draft to a :class:`Transcript`: order, overlaps, missing ends, a time for every word."""

from __future__ import annotations

import unicodedata
from dataclasses import replace
from statistics import median

from pipeline.model import InputError, Piece, Source, Transcript, Word
from pipeline.transcripts.base import Draft, Notes, Passage, Token, usable_time
from pipeline.transcripts.clock import lay_out_paragraphs, share_span
from pipeline.transcripts.decode import ACCEPTED
from pipeline.transcripts.lingering import ends_of_speech, linger, numbers_stand_alone
from pipeline.transcripts.pauses import WORDS_A_SECOND

FASTEST_SPEECH = 6.0
"""Words a second. Nobody calls a class faster: a passage cut shorter than this by an overlap is not cut."""

LONGEST_WORD = 1.5
"""Seconds. A word timed only by its start ends by the next word, or this much later where a pause follows."""

LONGEST_CAPTION = 15.0
"""Seconds. Captions stay on screen for at most about seven (common practice); pieces that are mostly
longer than twice that do not time their words as captions do, and the coarse clock is used."""

FARTHEST_ASTRAY = 2.0
"""Seconds. Recognisers shift the ends of segments a little; farther off, a word's time is a mistake."""

SMALL_SLIP = 0.25
"""Seconds. Neighbours overlap by less than this in the output of every recogniser; not worth a word."""


def assemble(draft: Draft, name: str, first_warning: str | None = None) -> Transcript:
    """Return the transcript of a draft; raise :class:`InputError` where no timed word is left."""
    passages = _in_order(_usable(draft), draft.notes)
    if not passages:
        said = "".join(f" ({sentence.rstrip('.')})" for sentence in draft.notes.sentences()[:1])
        raise InputError(name, None, f"no timed words in it{said}", ACCEPTED)
    passages = _one_after_another(passages, draft.notes)
    timing = draft.timing
    if timing == "cue" and median(_span(p) for p in passages) > LONGEST_CAPTION:
        timing = "coarse"
    captions = [([token.text for token in p.tokens], p.start, _end(p)) for p in passages]
    lingering = timing == "cue" and linger(captions)
    if timing == "coarse" or (lingering and not numbers_stand_alone(captions)):
        spans = lay_out_paragraphs(captions)
    elif lingering:
        said_until = zip(passages, ends_of_speech(captions), strict=True)
        spans = [_time_tokens(replace(passage, end=end)) for passage, end in said_until]
    else:
        spans = [_time_tokens(passage) for passage in passages]
    words, pieces = _words_and_pieces(passages, spans, draft.notes)
    duration = max(max(word.end for word in words), max(piece.end for piece in pieces))
    warnings = ((first_warning,) if first_warning else ()) + draft.notes.sentences()
    source = Source(name=name, kind=draft.kind, timing=timing, duration=duration)
    return Transcript(source=source, words=words, pieces=pieces, title=draft.title, warnings=warnings)


def _usable(draft: Draft) -> list[Passage]:
    """Drop passages without words, times that cannot be, and second copies; mend ends before their start."""
    kept: list[Passage] = []
    seen: set[tuple[object, ...]] = set()
    for passage in draft.passages:
        tokens = tuple(cleaned for token in passage.tokens if (cleaned := _clean(token)).text)
        if not tokens:
            continue
        if not usable_time(passage.start):
            draft.notes.add(passage.line, "left out: the time cannot be a moment of a class")
            continue
        end = passage.end
        if end is not None and (not usable_time(end) or end < passage.start):
            draft.notes.add(passage.line, "end before start; the end was worked out")
            end = None
        key = (passage.start, end, tuple(token.text for token in tokens))
        if key in seen:
            draft.notes.add(passage.line, "left out: the same words at the same time as before")
            continue
        seen.add(key)
        if any(_is_astray(token, passage.start, end) for token in tokens):
            draft.notes.add(passage.line, "words timed far outside it; their times were worked out")
            tokens = tuple(replace(t, start=None) if _is_astray(t, passage.start, end) else t for t in tokens)
        kept.append(Passage(passage.line, passage.start, end, tokens))
    return kept


def _is_astray(token: Token, start: float, end: float | None) -> bool:
    """Tell a word timed far from its passage; taken as it is, it would drag all words after it along."""
    if token.start is None:
        return False
    return token.start < start - FARTHEST_ASTRAY or (end is not None and token.start > end + FARTHEST_ASTRAY)


def _clean(token: Token) -> Token:
    """Take from a word what is no character to be read: controls, marks of direction, half surrogates."""
    text = "".join(c for c in token.text if unicodedata.category(c) not in {"Cc", "Cf", "Cs", "Co", "Cn"})
    return token if text == token.text else replace(token, text=text.strip())


def _in_order(passages: list[Passage], notes: Notes) -> list[Passage]:
    latest = 0.0
    for passage in passages:
        if passage.start < latest:
            notes.add(passage.line, "out of order; put in order of time")
        latest = max(latest, passage.start)
    return sorted(passages, key=lambda passage: passage.start)


def _one_after_another(passages: list[Passage], notes: Notes) -> list[Passage]:
    """Give every passage an end, and let none run into the next.

    An end that is missing is where the next one starts, and of the last one where speech at the usual pace is
    done. One that runs into the next is cut there; where that leaves no time to say it, both are read as one piece.
    """
    row: list[Passage] = []
    for passage in passages:
        previous = row[-1] if row else None
        if previous is not None and previous.end is not None and previous.end > passage.start + SMALL_SLIP:
            notes.add(passage.line, "start before the end of the one before; the words follow each other")
        if previous is not None and (previous.end is None or previous.end > passage.start):
            room = passage.start - previous.start
            timed = all(token.start is not None for token in previous.tokens + passage.tokens)
            if timed or (room > 0 and room * FASTEST_SPEECH >= len(previous.tokens)):
                row[-1] = replace(previous, end=_cut(previous, passage.start))
            else:
                ends = [end for end in (previous.end, passage.end) if end is not None]
                end = max(ends) if len(ends) == 2 else None
                row[-1] = Passage(previous.line, previous.start, end, previous.tokens + passage.tokens)
                continue
        row.append(passage)
    if row[-1].end is None:
        row[-1] = replace(row[-1], end=row[-1].start + len(row[-1].tokens) / WORDS_A_SECOND)
    return row


def _cut(passage: Passage, at: float) -> float:
    return at if passage.end is None else min(passage.end, at)


def _end(passage: Passage) -> float:
    return passage.start if passage.end is None else passage.end


def _span(passage: Passage) -> float:
    return _end(passage) - passage.start


def _time_tokens(passage: Passage) -> list[tuple[float, float]]:
    """Time every word of a passage: as the source does, and between two timed words by length of word."""
    tokens, spans = passage.tokens, list[tuple[float, float]]()
    first = 0
    while first < len(tokens):
        stop = first + 1
        while stop < len(tokens) and tokens[stop].start is None:
            stop += 1
        given = tokens[first].start
        start = passage.start if given is None else given
        following = tokens[stop].start if stop < len(tokens) else None
        end = max(start, _end(passage) if following is None else following)
        run = share_span([token.text for token in tokens[first:stop]], start, end)
        if given is not None and stop == first + 1:
            said_end = tokens[first].end
            run = [(start, min(end, start + LONGEST_WORD) if said_end is None else max(start, said_end))]
        spans += run
        first = stop
    return spans


def _words_and_pieces(
    passages: list[Passage], spans: list[list[tuple[float, float]]], notes: Notes
) -> tuple[tuple[Word, ...], tuple[Piece, ...]]:
    words: list[Word] = []
    pieces: list[Piece] = []
    latest = 0.0
    for passage, timed in zip(passages, spans, strict=True):
        first = len(words)
        for token, (start, end) in zip(passage.tokens, timed, strict=True):
            if start < latest - SMALL_SLIP:
                notes.add(passage.line, "words timed before the words above them; moved up")
            start = max(start, latest)
            latest = start
            words.append(Word(token.text, start, max(start, end), token.speaker, token.probability))
        pieces.append(Piece(first, len(words), passage.start, max(passage.start, _end(passage))))
    return tuple(words), tuple(pieces)
