"""Small classes to test with: transcripts from timed lines, readings from tagged ones, sets from calls.

A transcript is written as lines of ``seconds words``. A reading is written as ``seconds phase | words`` with a
``{role}`` before every number that has one, in the roles of the benchmark's format and the phases of
``pipeline.counting.phases``; a number without a tag is none. Words last as long as in a compiled script: 2.6 a
second, or up to 0.15 s before the next line.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from pipeline.analyze import listener
from pipeline.audit import Settings, audit
from pipeline.counting.calls import Call
from pipeline.counting.count import count_reps
from pipeline.counting.decode import Decoded
from pipeline.counting.phases import PHASES
from pipeline.counting.roles import ROLES, NumberView
from pipeline.counting.spans import work_spans
from pipeline.mentions.hear import Mentions
from pipeline.model import Chapter, ChapterKind, Finding, Number, Piece, Role, Source, Timing, Transcript, Word, WorkSet

WORDS_A_SECOND, PAUSE = 2.6, 0.15
_LINE = re.compile(r"^\s*([\d.]+)\s+(.*\S)\s*$")
_TAG = re.compile(r"\{([a-z]+)\}")
#: The chance of a role as tagged, where no doubt is written down.
SURE = 0.95


def transcript(text: str, timing: Timing = "cue", after: float = 1.0) -> Transcript:
    """Make a transcript of lines of ``seconds words``; it lasts ``after`` seconds longer than the last word."""
    rows = [(float(time), words.split()) for time, words in _rows(text)]
    words: list[Word] = []
    pieces: list[Piece] = []
    for k, (start, texts) in enumerate(rows):
        end = start + len(texts) / WORDS_A_SECOND
        if k + 1 < len(rows):
            end = min(end, rows[k + 1][0] - PAUSE)
        step = (end - start) / len(texts)
        pieces.append(Piece(len(words), len(words) + len(texts), start, end))
        words += [Word(one, start + i * step, start + (i + 1) * step) for i, one in enumerate(texts)]
    duration = words[-1].end + after if words else 0.0
    return Transcript(Source("class.vtt", "webvtt", timing, duration), tuple(words), tuple(pieces))


def heard(text: str, timing: Timing = "cue") -> Mentions:
    """Return what is heard in lines of ``seconds words``."""
    return listener().hear(transcript(text, timing))


@dataclass(frozen=True)
class Reading:
    """A class with the role of each number and the phase of each utterance written down by hand."""

    mentions: Mentions
    roles: tuple[str, ...]
    phases: tuple[str, ...]

    @cached_property
    def decoded(self) -> Decoded:
        """The reading as the chains would have given it, sure of all of it."""
        return self.doubting({})

    def doubting(self, doubts: Mapping[int, Mapping[str, float]]) -> Decoded:
        """Return the reading with other chances (0 to 1) for the roles of some numbers, by place."""
        chances = _sure(self.roles, ROLES)
        for i, others in doubts.items():
            chances[i] = 1e-4
            for role, chance in others.items():
                chances[i, ROLES.index(role)] = chance
        spans = tuple(work_spans(self.phases))
        phase_chances = _sure(self.phases, PHASES)
        view = NumberView(self.mentions)
        return Decoded(view, self.roles, chances, self.phases, phase_chances, spans, ROLES)


def reading(text: str, timing: Timing = "cue") -> Reading:
    """Make a reading of lines of ``seconds phase | words``, tags before the numbers."""
    lines: list[str] = []
    phase_of_word: list[str] = []
    role_of_word: dict[int, str] = {}
    for time, rest in _rows(text):
        phase, words = (part.strip() for part in rest.split("|"))
        assert phase in PHASES, phase
        lines.append(f"{time} {_TAG.sub('', words)}")
        for word in words.split():
            tag = _TAG.match(word)
            if tag:
                assert tag[1] in ROLES, tag[1]
                role_of_word[len(phase_of_word)] = tag[1]
            phase_of_word.append(phase)
    mentions = heard("\n".join(lines), timing)
    tagged = {one.words[0] for one in mentions.numbers}
    assert set(role_of_word) <= tagged, "a tag stands before a word that is no number"
    roles = tuple(role_of_word.get(one.words[0], "none") for one in mentions.numbers)
    phases = tuple(phase_of_word[one.first] for one in mentions.utterances)
    return Reading(mentions, roles, phases)


def _rows(text: str) -> list[tuple[str, str]]:
    found = [_LINE.match(line) for line in text.splitlines() if line.strip()]
    return [(match[1], match[2]) for match in found if match is not None]


def _sure(labels: Sequence[str], names: Sequence[str]) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    chances = np.full((len(labels), len(names)), (1 - SURE) / (len(names) - 1))
    for i, label in enumerate(labels):
        chances[i, names.index(label)] = SURE
    return chances


def calls(*pairs: tuple[int, float], kind: str = "rep", first: int = 0) -> list[Call]:
    """Make calls of ``(n, seconds)``; ``first`` is the place of the first one among all numbers."""
    return [Call(kind, n, time, first + i) for i, (n, time) in enumerate(pairs)]


def chapter(
    start: float = 0.0,
    end: float = 600.0,
    name: str = "goblet squat",
    kind: ChapterKind = "exercise",
    number: int | None = None,
) -> Chapter:
    """Make a chapter."""
    return Chapter(start, end, kind, name, None, name, (), number, 0.9, (0, 1))


def said(time: float, role: Role, n: float | None, text: str = "", set: int | None = 0, word: int = 0) -> Number:
    """Make a number said at ``time``; ``word`` is the place of its word."""
    return Number(time, text or f"{n:g}" if n is not None else text, n, role, n, set, 0.95, (word, word + 1))


def counted(
    *pairs: tuple[int, float], target: int | None = None, left: Sequence[tuple[int, float]] = (), **changes: object
) -> tuple[WorkSet, list[Number]]:
    """Make a set of reps by laying calls of ``(n, seconds)`` on the clock, and the numbers that were said."""
    end = max([time for _, time in (*pairs, *left)]) + 0.5
    row = sorted(calls(*pairs) + calls(*left, kind="left", first=len(pairs)), key=lambda one: one.time)
    count = count_reps(row, target, 0.0, end, None, True)
    numbers = [said(one.time, "rep" if one.kind == "rep" else "left", one.n, word=10 * k) for k, one in enumerate(row)]
    work = WorkSet(
        0, None, "goblet squat", None, None, "reps", 0.0, end, target, count.performed, None, None, 0.95, count.reps,
        pace=count.pace,
    )  # fmt: skip
    return _changed(work, changes), numbers


def timed(announced: int | None, lasted: int, still: bool = False, **changes: object) -> WorkSet:
    """Make a set of seconds that starts at nought."""
    work = WorkSet(
        0, None, "plank", None, None, "seconds", 0.0, float(lasted), announced, lasted, None, None, 0.95, still=still
    )
    return _changed(work, changes)


def _changed(work: WorkSet, changes: Mapping[str, object]) -> WorkSet:
    return replace(work, **changes)  # type: ignore[arg-type]


def findings(
    sets: Sequence[WorkSet],
    numbers: Sequence[Number] = (),
    chapters: Sequence[Chapter] = (),
    settings: Settings | None = None,
    timing: Timing = "cue",
    words: str = "",
) -> list[Finding]:
    """Audit sets and numbers put together by hand; all in one chapter unless ``chapters`` says otherwise.

    Unless ``words`` says otherwise, somebody says "go" at nought, and nothing of note after that.
    """
    heard_words = transcript(f"0.0 {words or ' '.join(['go', *['word'] * 399])}", timing)
    return audit(heard_words, chapters or (chapter(),), sets, numbers, settings)


def kinds(found: Sequence[Finding]) -> list[str]:
    """Return the kinds of findings, in order of time."""
    return [one.kind for one in found]
