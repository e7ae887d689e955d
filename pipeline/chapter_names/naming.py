"""The nouns of naming: a chapter before it has a name, what it is called, and what it might be called."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from pipeline.mentions.exercises import ExerciseMention
from pipeline.mentions.tokens import fold
from pipeline.model import ChapterKind

UNNAMED = "Exercise"


@dataclass(frozen=True)
class Opening:
    """A chapter before it has a name: utterances ``first`` to ``stop``, its kind, how sure its start is."""

    first: int
    stop: int
    kind: ChapterKind
    chance: float


@dataclass(frozen=True)
class Naming:
    """What a chapter's exercise is called, and how sure that is."""

    exercise: str | None
    name: str
    aliases: tuple[str, ...]
    score: float
    equipment: tuple[str, ...] = ()
    muscles: tuple[str, ...] = ()


NOTHING = Naming(None, "", (), 1.0)


@dataclass(frozen=True)
class Candidate:
    """What a chapter may be about: a lexicon id or ``None``, the name as said, and what speaks for it.

    ``mention`` is what was named, ``None`` where the exercise was told in other words. ``generic``: a word
    such as "press", which means an exercise of the class more likely than one by that name. ``own``: said plainly, but
    in no list. ``told``: the name or paraphrase that was met word by word.
    """

    exercise: str | None
    text: str
    score: float
    mention: ExerciseMention | None = None
    generic: bool = False
    own: bool = False
    told: str = ""

    @property
    def key(self) -> str:
        """What is the same for two candidates of one exercise."""
        return self.exercise or self.text.lower()


def same_exercise(a: Naming, b: Naming) -> bool:
    """Tell whether two chapters are about one exercise."""
    return (a.exercise is not None and a.exercise == b.exercise) or a.name.lower() == b.name.lower()


def is_shorter(name: str, other: str) -> bool:
    """Tell whether a name is the end of a fuller one: "deadlift" of "Romanian deadlift"."""
    words, full = tuple(map(fold, words_of(name))), tuple(map(fold, words_of(other)))
    return 0 < len(words) < len(full) and full[-len(words) :] == words


@lru_cache(maxsize=16384)
def words_of(text: str) -> tuple[str, ...]:
    """Return the words of a name in lower case, hyphens split, apostrophes off."""
    return tuple(part for part in text.lower().replace("-", " ").replace("'", "").split() if part)
