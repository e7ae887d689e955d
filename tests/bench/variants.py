"""Changes of a transcript or a script that should change nothing, or only one known thing, in what is found.

Most work on a :class:`pipeline.model.Transcript`, so that one reading can be held against another; chatter is
added to a script, since the gold must move with it.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

from pipeline.model import Piece, Transcript
from tests.bench.generator.phrases import expand, in_words, phrases
from tests.bench.generator.speech import NUMBER_OF, stamp, tokenize

#: Chatter goes only where nothing is said for this long (s), at this rate (words a second).
ROOM_FOR_CHATTER, CHATTER_RATE = 6.0, 2.8
SPOKEN = re.compile(r"^\[(?P<start>[\d:.]+)(?:-(?P<end>[\d:.]+))?\]\s*(?P<text>.*)$")
FIGURE = re.compile(r"\d+")


def shift(transcript: Transcript, seconds: float) -> Transcript:
    """Return the transcript as of a recording that starts ``seconds`` later (negative: earlier)."""
    return replace(
        transcript,
        source=replace(transcript.source, duration=transcript.source.duration + seconds),
        words=tuple(replace(w, start=w.start + seconds, end=w.end + seconds) for w in transcript.words),
        pieces=tuple(replace(p, start=p.start + seconds, end=p.end + seconds) for p in transcript.pieces),
    )


def split_pieces(transcript: Transcript) -> Transcript:
    """Return the transcript with every piece of two words or more cut in two, the words as they were."""
    pieces: list[Piece] = []
    for piece in transcript.pieces:
        middle = (piece.first + piece.stop) // 2
        if middle == piece.first:
            pieces.append(piece)
            continue
        cut = transcript.words[middle].start
        pieces.append(Piece(piece.first, middle, piece.start, cut))
        pieces.append(Piece(middle, piece.stop, cut, piece.end))
    return replace(transcript, pieces=tuple(pieces))


def words_to_figures(transcript: Transcript) -> Transcript:
    """Return the transcript with number words written as figures, one word for one."""
    return _reword(transcript, _as_figure)


def figures_to_words(transcript: Transcript) -> Transcript:
    """Return the transcript with figures up to a hundred written as number words, one word for one."""
    return _reword(transcript, _as_word)


def add_chatter(script: str, seed: int) -> str:
    """Return a script with chatter put between sets, wherever nothing is said for over six seconds."""
    rng = random.Random(seed)
    rows = script.splitlines()
    spoken = [i for i, row in enumerate(rows) if SPOKEN.match(row)]
    inside = False
    added: dict[int, list[str]] = {}
    for i, after in pairwise(spoken):
        between = rows[i + 1 : after]
        inside = _inside_after([rows[i], *between], inside)
        end, start = _end(rows[i]), _seconds(SPOKEN.match(rows[after])["start"])  # type: ignore[index]
        if not inside and not any(row.startswith("> ") for row in between) and start - end > ROOM_FOR_CHATTER:
            line = _chatter(rng, end, start)
            at = next((k for k in range(i + 1, after) if rows[k].startswith(("=", "!"))), after)
            added.setdefault(at, []).append(line)
    out: list[str] = []
    for i, row in enumerate(rows):
        out += added.get(i, [])
        out.append(row)
    return "\n".join(out) + "\n"


def _inside_after(rows: list[str], inside: bool) -> bool:
    for row in rows:
        if row.startswith("> "):
            inside = True
        elif row.startswith("<"):
            inside = False
    return inside


def _chatter(rng: random.Random, end: float, start: float) -> str:
    for _ in range(50):
        text = expand(rng.choice(phrases()[rng.choice(["chat", "numbers"])]), {"few": 7, "big": 41}, rng)
        tokens = tokenize(text)
        length = len(tokens) / CHATTER_RATE
        if end + 0.5 + length + 0.5 < start:
            break
    at = end + 0.5 + rng.random() * max(0.0, start - end - length - 1.0)
    return f"[{stamp(at)}-{stamp(at + length)}] " + " ".join(map(str, tokens))


def _end(row: str) -> float:
    """Return the end of a spoken line as ``compile.py`` guesses it where it is not given."""
    match = SPOKEN.match(row)
    assert match is not None
    if match["end"]:
        return _seconds(match["end"])
    return _seconds(match["start"]) + max(0.5, len(tokenize(match["text"])) / 2.6)


def _seconds(text: str) -> float:
    total = 0.0
    for part in text.split(":"):
        total = total * 60 + float(part)
    return total


def _reword(transcript: Transcript, change: Callable[[str], str]) -> Transcript:
    return replace(transcript, words=tuple(replace(w, text=change(w.text)) for w in transcript.words))


def _as_figure(text: str) -> str:
    core = text.strip(".,!?;:")
    tens, _, unit = core.lower().partition("-")
    if tens not in NUMBER_OF or (unit and (unit not in NUMBER_OF or NUMBER_OF[tens] % 10)):
        return text
    return text.replace(core, str(NUMBER_OF[tens] + NUMBER_OF.get(unit, 0)))


def _as_word(text: str) -> str:
    core = text.strip(".,!?;:")
    return text.replace(core, in_words(int(core))) if FIGURE.fullmatch(core) and int(core) < 100 else text
