"""The habits of an invented presenter: how they count, how much they talk, their slips of the tongue."""

from __future__ import annotations

import random
from dataclasses import dataclass

HOSTS = (
    "Maren",
    "Odile",
    "Tamsin",
    "Perry",
    "Jutta",
    "Callum",
    "Bea",
    "Rafe",
    "Ines",
    "Wendel",
    "Nola",
    "Gwen",
    "Hamid",
    "Suki",
    "Arlo",
    "Pia",
    "Dov",
    "Lena",
)


@dataclass(frozen=True)
class Habits:
    """Shares and chances from 0 to 1, but for ``rate`` (words a second) and ``pause`` (seconds).

    ``called`` is the share of reps called aloud in a set counted up; ``down`` and ``late`` the chances that a
    set is counted down from the start, or from a few before the end; ``left`` that "two more" is said.
    """

    host: str
    partner: str | None
    rate: float
    pause: tuple[float, float]
    called: float
    down: float
    late: float
    left: float
    half: float
    countin: float
    stutter: float
    correct: float
    query: float
    prefix: float
    suffix: float
    filler: float
    jokes: float
    numbers: float
    group: float
    announced: float
    changed: float
    chant: float
    clock: float


def draw_habits(rng: random.Random) -> Habits:
    """Draw one presenter, or two who share one habit of counting."""
    host, partner = rng.sample(HOSTS, 2)
    return Habits(
        host=host,
        partner=partner if rng.random() < 0.45 else None,
        rate=rng.uniform(2.3, 3.1),
        pause=rng.choice([(0.2, 0.8), (0.4, 1.6), (0.4, 1.9)]),
        called=rng.choice([0.25, 0.4, 0.5, 0.65, 0.8, 1.0]),
        down=rng.choice([0.0, 0.1, 0.2, 0.5]),
        late=rng.choice([0.0, 0.1, 0.25, 0.4]),
        left=rng.choice([0.1, 0.4, 0.7, 0.9]),
        half=rng.choice([0.05, 0.3, 0.6]),
        countin=rng.choice([0.05, 0.3, 0.8]),
        stutter=rng.choice([0.0, 0.05, 0.15]),
        correct=rng.choice([0.0, 0.05, 0.15]),
        query=rng.choice([0.0, 0.03, 0.08]),
        prefix=rng.choice([0.05, 0.2, 0.4]),
        suffix=rng.choice([0.1, 0.3, 0.6]),
        filler=rng.choice([0.6, 0.85, 0.98]),
        jokes=rng.choice([0.1, 0.25, 0.5]),
        numbers=rng.choice([0.1, 0.3, 0.5]),
        group=rng.choice([0.2, 0.6, 0.9]),
        announced=rng.choice([0.6, 0.8, 0.95]),
        changed=rng.choice([0.0, 0.05, 0.15]),
        chant=rng.choice([0.0, 0.3, 0.7]),
        clock=rng.choice([0.3, 0.6, 0.9]),
    )
