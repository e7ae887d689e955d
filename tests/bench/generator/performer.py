"""Whoever performs a class, and what is said between sets: counting in, stopping, resting, remarks."""

from __future__ import annotations

import random
from dataclasses import dataclass, field

from tests.bench.generator.filling import chatter
from tests.bench.generator.habits import Habits
from tests.bench.generator.phrases import tag
from tests.bench.generator.speech import Stage

#: Chance that a set goes wrong in a class that has mistakes.
MISTAKE = 0.16
#: An announced rest this long (s) is a chapter.
REST_CHAPTER = 20
NOT_DONE = (
    ("burpee", "burpees"),
    ("deadlift", "deadlifts"),
    ("sit-up", "sit-ups"),
    ("push-up", "push-ups"),
    ("jumping jack", "jumping jacks"),
    ("pull-up", "pull-ups"),
    ("mountain climber", "mountain climbers"),
    ("box jump", "box jumps"),
    ("sprint", "sprints"),
    ("squat jump", "squat jumps"),
    ("plank", "planks"),
    ("walking lunge", "walking lunges"),
    ("wall sit", "wall sits"),
    ("split squat", "split squats"),
)


@dataclass
class Performer:
    """The stage, the habits, whether mistakes are made, and exercises to come that may be mentioned."""

    stage: Stage
    habits: Habits
    clean: bool
    later: list[str] = field(default_factory=list)

    @property
    def rng(self) -> random.Random:
        """The one source of chance."""
        return self.stage.rng

    def mistake(self, *kinds: str) -> str | None:
        """Return one of the kinds of mistake, now and then."""
        if self.clean or not kinds or self.rng.random() > MISTAKE:
            return None
        return self.rng.choice(kinds)


def count_in(who: Performer, end_with: str = "") -> None:
    stage, rng = who.stage, who.rng
    if rng.random() < who.habits.countin:
        count = rng.choice([2, 3, 3, 3, 4])
        lead = stage.phrase("countin_lead") + " " if rng.random() < 0.4 else ""
        stage.say(lead + ", ".join(tag("countin", n) for n in range(count, 0, -1)) + end_with)
    elif rng.random() < 0.25:
        stage.act("ready")


def rest(who: Performer, seconds: int, say: str = "rest_long") -> None:
    """Announce a rest and talk through it; a chapter where it is long enough."""
    stage, rng = who.stage, who.rng
    start = stage.clock
    if seconds >= REST_CHAPTER:
        stage.mark("= rest")
    stage.act(say, rest=seconds)
    while stage.clock < start + seconds - 14:
        if rng.random() < 0.6:
            stage.wait(rng.uniform(1.5, 4))
            stage.act("rest_chat")
        else:
            chatter(stage, who.habits)
    left = rng.choice([5, 10]) if seconds >= REST_CHAPTER else 3
    wait = start + seconds - left - stage.clock
    if wait > 0.5 and seconds >= REST_CHAPTER and rng.random() < 0.6:
        stage.wait(wait)
        stage.act("rest_clock", n=left)
    stage.clock = max(stage.clock, start + seconds - 4)


def stop(who: Performer) -> None:
    if who.rng.random() < 0.85:
        who.stage.act("stop")
    if who.rng.random() < 0.15:
        who.stage.act("absent_work", **absent(who.rng))
    elif who.later and who.rng.random() < 0.12:
        who.stage.act("later", later=who.rng.choice(who.later))


def absent(rng: random.Random) -> dict[str, str | int]:
    """Return the slots for an exercise that is mentioned and not done."""
    one, several = rng.choice(NOT_DONE)
    return {"absent_one": one, "absent": several}


def load(rng: random.Random) -> str:
    """Return a weight, tagged."""
    n = rng.choice([2, 3, 4, 5, 6, 8, 10, 12, 16])
    return tag("load", n) + rng.choice([" kilos", " kilos", " kilo weights", " pounds"])
