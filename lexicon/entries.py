"""The nouns of the lexicon: an exercise, a modifier, all of them together, and a mistake in the data.

Fields of :class:`Exercise` are named as the columns of ``exercises/*.csv``; ``README.md`` explains them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Sides = Literal["yes", "no", "alternating"]
CountedIn = Literal["reps", "seconds", "breaths"]


class LexiconError(Exception):
    """A mistake in the lexicon's data; ``str(error)`` is one line for the person who edits the file."""

    def __init__(self, file: str, place: str, field: str, problem: str, remedy: str) -> None:
        where = ", ".join(part for part in (file, place, field) if part)
        super().__init__(" ".join(f"{where}: {problem}; {remedy}".split()))
        self.file, self.place, self.field, self.problem, self.remedy = file, place, field, problem, remedy


@dataclass(frozen=True, slots=True)
class Exercise:
    """One exercise. ``seconds_low`` to ``seconds_high`` is what a rep (or one hold) usually takes.

    ``easier`` and ``harder`` are ids of other exercises; ``told_apart_by`` says how a name that this entry
    shares with another one is meant. ``activity_codes`` are keys of :attr:`Lexicon.activities`.
    """

    id: str
    name: str
    other_names: tuple[str, ...]
    pattern: tuple[str, ...]
    prime_movers: tuple[str, ...]
    helpers: tuple[str, ...]
    joint_actions: tuple[str, ...]
    equipment: tuple[str, ...]
    position: tuple[str, ...]
    sides: Sides
    unit: CountedIn
    seconds_low: float
    seconds_high: float
    easier: tuple[str, ...] = ()
    harder: tuple[str, ...] = ()
    caution: str = ""
    told_apart_by: str = ""
    activity_codes: tuple[str, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """The name and all other names, the name first."""
        return (self.name, *self.other_names)

    @property
    def muscles(self) -> tuple[str, ...]:
        """The prime movers, then the helpers."""
        return (*self.prime_movers, *self.helpers)


@dataclass(frozen=True, slots=True)
class Activity:
    """One activity of the Adult Compendium of Physical Activities, by its ``code`` in the edition of ``year``.

    ``met`` is the energy it takes as a multiple of that at rest, over a session; ``activity`` tells it in our words.
    """

    code: str
    year: int
    met: float
    activity: str


@dataclass(frozen=True, slots=True)
class Modifier:
    """A word or phrase that coaches put before or after a base name: a stance, a grip, a side …

    ``equipment`` and ``position`` are what it implies (``""`` where nothing). ``after``: it may follow the
    base without a comma ("plank hold"). ``everyday``: so common that it says little by itself ("slow").
    """

    kind: str
    name: str
    other_names: tuple[str, ...] = ()
    equipment: str = ""
    position: str = ""
    after: bool = False
    everyday: bool = False

    @property
    def names(self) -> tuple[str, ...]:
        """The name and all other spellings, the name first."""
        return (self.name, *self.other_names)


@dataclass(frozen=True, eq=False)
class Lexicon:
    """All the data. ``exercises`` is by id; ``phrases`` is group -> kind -> phrases.

    ``base_words`` are the nouns that names are built on ("row"); ``clear_words`` are names that mean an
    exercise wherever they are said ("burpee"). ``paraphrases``: exercise id -> what is said instead of a name;
    ``everyday_words``: word of a name -> what is said for it ("bar" for "barbell"). ``activities`` is by code;
    ``muscle_words``: what coaches call muscles ("quads") -> the muscles meant.
    """

    exercises: Mapping[str, Exercise]
    vocabulary: Mapping[str, tuple[str, ...]]
    modifiers: tuple[Modifier, ...]
    phrases: Mapping[str, Mapping[str, tuple[str, ...]]]
    base_words: tuple[str, ...] = ()
    clear_words: tuple[str, ...] = ()
    paraphrases: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    everyday_words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    activities: Mapping[str, Activity] = field(default_factory=dict)
    muscle_words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def named(self, name: str) -> tuple[Exercise, ...]:
        """Return the exercises that carry this name, however it is cased or hyphenated."""
        key = name_key(name)
        return tuple(one for one in self.exercises.values() if key in map(name_key, one.names))


def name_key(name: str) -> str:
    """Return a name as one key: lower case, no punctuation, hyphens and blanks as one blank."""
    return " ".join(re.sub(r"[^\w\s]", "", re.sub(r"[-–/]", " ", name.lower())).split())
