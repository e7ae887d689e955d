"""Plausible records made out of the annotated class scripts, so that the writers can be tested alone.

The gold of a script gives chapters, sets, numbers and findings; the words are the script's own. Reps stand at
the called numbers, and evenly in between where none was called.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from pipeline.model import (
    Chapter,
    Cue,
    CueKind,
    Finding,
    Number,
    Piece,
    Record,
    Rep,
    Source,
    Word,
    WordRange,
    WorkSet,
)
from tests.bench.compile import Script, parse

CLASSES = Path(__file__).parents[1] / "bench" / "classes"
CUE_WORDS: tuple[tuple[CueKind, tuple[str, ...]], ...] = (
    ("safety", ("pinch", "carefully", "pain")),
    ("breathing", ("breath", "exhale", "inhale")),
    ("tempo", ("slow", "rhythm")),
    ("option", ("if you", "instead")),
    ("encouragement", ("lovely", "well done", "strong", "gorgeous")),
    ("form", ("knee", "elbow", "hip", "spine", "shoulder", "rib", "back")),
)


@cache
def example_record(name: str = "d01", speakers: tuple[str, ...] = (), talk: int = 5) -> Record:
    """Return the record of one script; each of ``speakers`` in turn says ``talk`` utterances."""
    script = parse(CLASSES / f"{name}.class.txt")
    words: list[Word] = []
    pieces: list[Piece] = []
    tags: list[dict[str, Any]] = []
    for index, line in enumerate(script.lines):
        speaker = speakers[index // talk % len(speakers)] if speakers else None
        first = len(words)
        for word in line.words:
            words.append(Word(word["text"], word["start"], word["end"], speaker))
            tags.append(word)
        pieces.append(Piece(first, len(words), line.start, round(line.end, 3)))
    end = pieces[-1].end
    sets = tuple(_work_set(i, script, words, tags) for i in range(len(script.sets)))
    return Record(
        source=Source(f"{name}.vtt", "webvtt", "cue", end),
        title=script.meta.get("title"),
        chapters=_chapters(script, words, end),
        sets=sets,
        numbers=_numbers(words, tags, sets),
        findings=tuple(
            Finding(
                kind=one["kind"],
                time=round(one["time"], 3),
                set=one["set"],
                said=one["note"].split(",")[0],
                expected="what was announced",
                message=one["note"][:1].upper() + one["note"][1:] + ".",
                confidence=0.9 if i % 3 else 0.45,
                words=_range(words, one["time"], one["time"] + 3),
            )
            for i, one in enumerate(script.findings)
        ),
        cues=_cues(script, pieces),
        words=tuple(words),
        pieces=tuple(pieces),
        warnings=("line 12: two captions overlap by 0.4 s; the later start is kept",),
    )


def _chapters(script: Script, words: list[Word], end: float) -> tuple[Chapter, ...]:
    starts = [one["start"] for one in script.chapters] + [end]
    out = []
    for i, one in enumerate(script.chapters):
        names = one["names"] or [""]
        title = names[0][:1].upper() + names[0][1:] if names[0] else _PLAIN[one["kind"]]
        out.append(
            Chapter(
                start=round(starts[i], 3),
                end=round(starts[i + 1], 3),
                kind=one["kind"],
                title=title,
                exercise=names[0].replace(" ", "-") or None,
                exercise_name=names[0],
                aliases=tuple(names[1:]),
                round=None,
                confidence=0.92,
                words=_range(words, starts[i], starts[i + 1]),
            )
        )
    return tuple(out)


_PLAIN = {"intro": "Welcome", "rest": "Rest", "outro": "Finish", "exercise": "Exercise"}


def _work_set(index: int, script: Script, words: list[Word], tags: list[dict[str, Any]]) -> WorkSet:
    one = script.sets[index]
    chapter = script.chapters[one["chapter"]]
    names = chapter["names"] or ["exercise"]
    start, end = round(one["start"], 3), round(one["end"], 3)
    return WorkSet(
        chapter=one["chapter"],
        exercise=names[0].replace(" ", "-"),
        exercise_name=names[0],
        side=one["side"],
        range=one["range"],
        unit=one["unit"],
        start=start,
        end=end,
        target=one["target"],
        performed=one["performed"],
        round=one["round"],
        tempo=tuple(one["tempo"]) if one["tempo"] else None,
        confidence=0.42 if index % 7 == 5 else 0.93,
        reps=_reps(one["performed"], start, end, tags) if one["unit"] == "reps" else (),
        aliases=tuple(names[1:]),
        words=_range(words, start, end),
    )


def _reps(performed: int | None, start: float, end: float, tags: list[dict[str, Any]]) -> tuple[Rep, ...]:
    if not performed:
        return ()
    called = {
        int(tag["n"]): tag["start"]
        for tag in tags
        if tag.get("role") == "rep" and start <= tag["start"] <= end and tag["n"] <= performed
    }
    known = {0: start, **called}
    known.setdefault(performed, end)
    marks = sorted(known)
    reps = []
    for n in range(1, performed + 1):
        before = max(mark for mark in marks if mark <= n)
        after = min(mark for mark in marks if mark >= n)
        share = (n - before) / (after - before) if after > before else 0.0
        time = known[before] + (known[after] - known[before]) * share
        reps.append(Rep(n, round(time, 3), n in called, 0.0 if n in called else 0.5))
    return tuple(reps)


def _numbers(words: list[Word], tags: list[dict[str, Any]], sets: tuple[WorkSet, ...]) -> tuple[Number, ...]:
    out = []
    for i, (word, tag) in enumerate(zip(words, tags, strict=True)):
        if "role" not in tag:
            continue
        inside = next((k for k, one in enumerate(sets) if one.start <= word.start <= one.end), None)
        out.append(
            Number(word.start, word.text, tag["n"], tag["role"], tag["n"], inside, 0.9, (i, i + 1)),
        )
    return tuple(out)


def _cues(script: Script, pieces: list[Piece]) -> tuple[Cue, ...]:
    out = []
    for line, piece in zip(script.lines, pieces, strict=True):
        lowered = line.text.lower()
        kind = next((kind for kind, signs in CUE_WORDS if any(sign in lowered for sign in signs)), None)
        if kind and not any("role" in word for word in line.words):
            out.append(Cue(piece.start, piece.end, kind, line.text, (piece.first, piece.stop)))
    return tuple(out)


def _range(words: list[Word], start: float, end: float) -> WordRange:
    inside = [i for i, word in enumerate(words) if start <= word.start < end]
    return (inside[0], inside[-1] + 1) if inside else (0, 0)
