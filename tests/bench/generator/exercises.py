"""Exercises from the lexicon's tables, read plainly, and how presenters say their names."""

from __future__ import annotations

import csv
import random
import re
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

TABLES = Path(__file__).parents[3] / "lexicon" / "exercises"
#: Heads of names that can be counted: "three squats", but "the cat-cow".
COUNTED = re.compile(
    "bend|bridge|circle|clean|climber|crunch|curl|deadlift|dip|extension|fly|hinge|jack|jerk|jump|kick|kickback|"
    "lift|lunge|march|press|pull-up|pulldown|pull-down|pulse|push-up|raise|reach|roll|row|snatch|squat|step|"
    "stretch|swing|tap|thrust|thruster|tilt|twist|walkout|plié|relevé|shrug|chop|slide|hop|burpee|rotation|hold|"
    "skater|pull-apart|chin-up|sit-up|pass|step-up|bug|dog|punch|get-up|sprawl|shuffle|rollout|pullover|windmill"
)
HEAD_ENDS = re.compile(r"\s(?:with|to|on|in|at|from|over|and|into|behind|across|off|of|for|under)\s")
ODD_NAME = re.compile(r"[^A-Za-z \-'é]")


@dataclass(frozen=True)
class Exercise:
    """One row of a lexicon table: what choosing and saying an exercise needs."""

    table: str
    name: str
    other_names: tuple[str, ...]
    sides: str
    unit: str
    equipment: tuple[str, ...]
    position: str
    pattern: str
    seconds: tuple[float, float]

    def gold_names(self) -> str:
        """Return all names in the form of an ``= exercise`` line."""
        return " | ".join((self.name, *self.other_names))

    def spoken(self, rng: random.Random) -> str:
        """Choose a name to say: mostly the first."""
        sayable = [name for name in self.other_names if not ODD_NAME.search(name) and len(name.split()) <= 5]
        return self.name if not sayable or rng.random() < 0.5 else rng.choice(sayable)


@lru_cache
def exercises() -> tuple[Exercise, ...]:
    """Read all of the lexicon's tables."""
    out = []
    for file in sorted(TABLES.glob("*.csv")):
        with file.open(encoding="utf-8", newline="") as table:
            for row in csv.DictReader(table):
                out.append(
                    Exercise(
                        file.stem,
                        row["name"],
                        tuple(name for name in row["other_names"].split(";") if name),
                        row["sides"],
                        row["unit"],
                        tuple(row["equipment"].split(";")),
                        row["position"],
                        row["pattern"],
                        (float(row["seconds_low"] or 2), float(row["seconds_high"] or 4)),
                    )
                )
    return tuple(out)


def head_plural(name: str) -> str:
    """Return the plural of a name's head alone where it can be counted, else the name: "squats"."""
    end = HEAD_ENDS.search(name)
    last = (name[: end.start()] if end else name).split()[-1]
    return plural(last) if COUNTED.fullmatch(last) and last not in {"hold", "bug", "dog"} else name


def plural(name: str) -> str:
    """Return the plural of a name whose head can be counted, else the name as it is."""
    end = HEAD_ENDS.search(name)
    head, rest = (name[: end.start()], name[end.start() :]) if end else (name, "")
    last = head.split()[-1]
    if not COUNTED.fullmatch(last):
        return name
    if last == "fly":
        return head[:-1] + "ies" + rest
    return head + ("es" if re.search(r"(?:s|x|ch|sh)$", last) else "s") + rest
