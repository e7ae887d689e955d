"""The nouns of the house: words, transcripts, mentions, sets, reps, chapters, findings, the record.

Everything here is frozen and typed. Times are seconds from the start of the recording (float). A range of
words is a pair ``(first, stop)`` of indices into ``Transcript.words``, ``stop`` exclusive, as in a slice.
``None`` means "not said and cannot be told"; it is never a guess.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    import pandas as pd

Timing = Literal["word", "cue", "coarse"]
SourceKind = Literal["webvtt", "subrip", "recognizer", "stamped", "table", "media"]
Role = Literal[
    "rep", "left", "half", "target", "rounds", "tempo", "hold", "clock", "countin", "load", "degrees", "other"
]
Side = Literal["left", "right"]
Range = Literal["lower", "upper", "full", "pulse"]
Unit = Literal["reps", "seconds"]
ChapterKind = Literal["intro", "exercise", "rest", "outro"]
CueKind = Literal["form", "breathing", "safety", "tempo", "option", "encouragement"]
FindingKind = Literal[
    "skipped-count",
    "repeated-count",
    "over-target",
    "under-target",
    "remaining-mismatch",
    "side-imbalance",
    "round-mismatch",
    "rounds-missing",
    "hold-off-clock",
    "interval-off-clock",
    "tempo-off-clock",
    "halfway-off",
    # Against a run sheet, where one is given.
    "left-out",
    "added",
    "order-changed",
    "reps-differ",
    "seconds-differ",
    "sets-differ",
    "rounds-differ",
    "sides-differ",
    "tempo-differs",
]
WordRange = tuple[int, int]


class RepslateError(Exception):
    """The parent of every error that is the input's fault; its text is one clear line for a person."""


class InputError(RepslateError):
    """An input that cannot be used.

    ``file`` and ``line`` (from 1; ``None`` where no line is to blame) say where, ``problem`` what is wrong
    and ``remedy`` what would be accepted. ``str(error)`` is one line: ``file, line N: problem; remedy``.
    """

    def __init__(self, file: str, line: int | None, problem: str, remedy: str) -> None:
        where = file if line is None else f"{file}, line {line}"
        super().__init__(f"{where}: {problem}; {remedy}")
        self.file, self.line, self.problem, self.remedy = file, line, problem, remedy


@dataclass(frozen=True, slots=True)
class Source:
    """Where a transcript came from.

    ``name`` is the file's name without its folders (``"-"`` for standard input). ``timing`` says how fine
    the clock is: ``"word"`` each word is timed, ``"cue"`` each caption-size piece, ``"coarse"`` longer pieces.
    ``duration`` is the last moment known, in seconds.
    """

    name: str
    kind: SourceKind
    timing: Timing
    duration: float


@dataclass(frozen=True, slots=True)
class Word:
    """One word as written (punctuation stays on it), with its time in seconds.

    ``probability`` is the recogniser's own confidence (0 to 1), where there is one.
    """

    text: str
    start: float
    end: float
    speaker: str | None = None
    probability: float | None = None


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of words as the source gives it: a caption, a recogniser's segment, a paragraph."""

    first: int
    stop: int
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Transcript:
    """The one form that every reader gives: words in rising order of time, and the pieces they came in.

    ``warnings`` are sentences for a person that name the lines of the source they are about.
    """

    source: Source
    words: tuple[Word, ...]
    pieces: tuple[Piece, ...]
    title: str | None = None
    warnings: tuple[str, ...] = ()

    def text(self, words: WordRange) -> str:
        """Return the words of a range, joined by blanks."""
        return " ".join(word.text for word in self.words[words[0] : words[1]])


@dataclass(frozen=True, slots=True)
class Rep:
    """One repetition. ``called`` tells a spoken number from one placed by the clock.

    ``spread`` is how far off the time may be, in seconds (0 where the call itself is timed).
    """

    n: int
    time: float
    called: bool
    spread: float = 0.0


@dataclass(frozen=True, slots=True)
class WorkSet:
    """One uninterrupted run of one exercise, on one side, in one range.

    ``chapter`` is an index into the record's chapters. ``target`` and ``performed`` are in ``unit``.
    ``tempo`` is a list of seconds in the order announced. ``words`` is the evidence. ``still`` says that the
    position is held rather than moved through; ``pace`` is seconds a rep, measured between called reps.
    """

    chapter: int
    exercise: str | None
    exercise_name: str
    side: Side | None
    range: Range | None
    unit: Unit
    start: float
    end: float
    target: int | None
    performed: int | None
    round: int | None
    tempo: tuple[float, ...] | None
    confidence: float
    reps: tuple[Rep, ...] = ()
    aliases: tuple[str, ...] = ()
    words: WordRange = (0, 0)
    still: bool = False
    pace: float | None = None


@dataclass(frozen=True, slots=True)
class Number:
    """A number that was said. ``n`` is what the role gives: the rep number, the reps left, the seconds …"""

    time: float
    text: str
    value: float | None
    role: Role
    n: float | None
    set: int | None
    confidence: float
    words: WordRange


@dataclass(frozen=True, slots=True)
class Chapter:
    """A stretch from the presenter's turning to an exercise (or a rest, or the end) to the next such turn.

    ``exercise`` is a lexicon id, or ``None`` for an exercise that the lexicon does not know.
    """

    start: float
    end: float
    kind: ChapterKind
    title: str
    exercise: str | None
    exercise_name: str
    aliases: tuple[str, ...]
    round: int | None
    confidence: float
    words: WordRange
    rounds: int | None = None
    equipment: tuple[str, ...] = ()
    muscles: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """Something that does not add up. ``message`` is one sentence for a person; ``evidence`` the words."""

    kind: FindingKind
    time: float
    set: int | None
    said: str
    expected: str
    message: str
    confidence: float
    words: WordRange
    evidence: str = ""


@dataclass(frozen=True, slots=True)
class Cue:
    """A sentence of coaching, by kind. ``words`` is the range it came from."""

    time: float
    end: float
    kind: CueKind
    text: str
    words: WordRange


@dataclass(frozen=True, slots=True)
class Record:
    """All that was found in one class; ``pipeline.analyze.analyze`` makes it, ``to_json`` keeps it.

    ``words`` and ``pieces`` are those of the transcript, so that captions can be cut from a record alone.
    """

    source: Source
    title: str | None
    chapters: tuple[Chapter, ...]
    sets: tuple[WorkSet, ...]
    numbers: tuple[Number, ...]
    findings: tuple[Finding, ...]
    cues: tuple[Cue, ...]
    words: tuple[Word, ...] = field(repr=False)
    pieces: tuple[Piece, ...] = field(repr=False)
    warnings: tuple[str, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Return the record as plain lists and dicts, times rounded to three decimals."""
        from pipeline.record_json import to_dict

        return to_dict(self)

    def to_json(self) -> str:
        """Return the record as JSON text (UTF-8 characters as they are)."""
        from pipeline.record_json import to_json

        return to_json(self)

    @classmethod
    def from_json(cls, text: str) -> Record:
        """Read a record back; raise :class:`RepslateError` where the text is not one."""
        from pipeline.record_json import from_json

        return from_json(text)

    def sets_frame(self) -> pd.DataFrame:
        """Return a row a set: all fields of :class:`WorkSet` but its reps; times in seconds."""
        return _frame(self.sets, WorkSet, drop={"reps"})

    def reps_frame(self) -> pd.DataFrame:
        """Return a row a rep: ``set`` (index), ``n``, ``time``, ``called``, ``spread``."""
        import pandas as pd

        rows = [
            {"set": i, "n": rep.n, "time": rep.time, "called": rep.called, "spread": rep.spread}
            for i, one in enumerate(self.sets)
            for rep in one.reps
        ]
        return pd.DataFrame(rows, columns=["set", "n", "time", "called", "spread"])

    def numbers_frame(self) -> pd.DataFrame:
        """Return a row a number: all fields of :class:`Number`."""
        return _frame(self.numbers, Number)

    def findings_frame(self) -> pd.DataFrame:
        """Return a row a finding: all fields of :class:`Finding`."""
        return _frame(self.findings, Finding)


def _frame(rows: tuple[Any, ...], kind: type, drop: frozenset[str] | set[str] = frozenset()) -> pd.DataFrame:
    import pandas as pd

    columns = [name for name in _field_names(kind) if name not in drop]
    return pd.DataFrame([{c: getattr(row, c) for c in columns} for row in rows], columns=columns)


def _field_names(kind: type) -> Iterator[str]:
    from dataclasses import fields

    return (one.name for one in fields(kind))
