"""An exercise as it is done in one block: its name here, cadence, target, tempo; and how it is announced."""

from __future__ import annotations

from dataclasses import dataclass, replace

from tests.bench.generator.calls import RepSet
from tests.bench.generator.exercises import Exercise, exercises, head_plural, plural
from tests.bench.generator.filling import chatter, position_key
from tests.bench.generator.performer import Performer, load
from tests.bench.generator.phrases import phrases, tag

TARGETS = (4, 5, 6, 8, 8, 10, 10, 12, 12, 14, 15, 16, 20)
WAYS = ("slow", "tempo", "paused", "controlled", "small", "strict")
#: A set of reps lasts about this long, in seconds.
SHORTEST_SET, LONGEST_SET = 14, 50
#: Tempos in seconds: down and up, or up and down, or down, at the bottom, and up.
TEMPOS = (
    (3, 1),
    (2, 1),
    (4, 1),
    (2, 2),
    (3, 2),
    (3, 3),
    (1, 3),
    (1, 2),
    (1, 4),
    (3, 1, 1),
    (2, 1, 1),
    (2, 2, 1),
)


@dataclass
class Drill:
    """An exercise within a block: what it is called here, its cadence and target.

    ``announced`` is the target of the round before, where one was said; ``slipped`` that the set before had
    another number of reps than it should.
    """

    exercise: Exercise
    said: str
    cadence: float
    target: int | None
    tempo: tuple[int, ...] | None = None
    up_first: bool = False
    each: int | None = None
    mode: str = "up"
    announced: int | None = None
    slipped: bool = False

    def names(self, again: bool = False) -> dict[str, str | int]:
        """Return the slots that name the exercise, ``again`` by less than its full name."""
        several = head_plural(self.said) if again else plural(self.said)
        article = "the " if several == self.said else ""
        return {"the_name": f"the {self.said}", "names": several, "the_names": f"{article}{several}"}


def name_list(drills: list[Drill]) -> str:
    """Return the exercises' names as in a spoken list."""
    names = [plural(drill.said) for drill in drills]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def name_drill(who: Performer, exercise: Exercise) -> Drill:
    """Choose what an exercise is called in this block; now and then a way of doing it gives it a new name."""
    rng = who.rng
    if exercise.unit == "reps" and rng.random() < 0.07 and exercise.name[0].islower():
        way = rng.choice(WAYS)
        exercise = replace(exercise, name=f"{way} {exercise.name}", other_names=(exercise.name, *exercise.other_names))
        return Drill(exercise, exercise.name, 2.0, None)
    if exercise.unit == "reps" and rng.random() < 0.04:
        partners = [one for one in exercises() if _can_follow(one, exercise)]
        if partners:
            exercise = _joined(exercise, rng.choice(partners).name)
            return Drill(exercise, rng.choice((exercise.name, *exercise.other_names)), 2.0, None)
    return Drill(exercise, exercise.spoken(rng), 2.0, None)


def _can_follow(one: Exercise, exercise: Exercise) -> bool:
    alike = ("table", "position", "sides", "unit")
    return one.name != exercise.name and all(getattr(one, key) == getattr(exercise, key) for key in alike)


def _joined(exercise: Exercise, second: str) -> Exercise:
    """Return two exercises done as one, which the lexicon has no name for."""
    first = exercise.name
    return replace(
        exercise, name=f"{first} to {second}", other_names=(f"{first} into {second}", f"{first} and {second}")
    )


def draw_drill(who: Performer, exercise: Exercise, kind: str) -> Drill:
    """Draw how an exercise is done: cadence, target, tempo, way of counting."""
    rng, habits = who.rng, who.habits
    low, high = exercise.seconds
    cadence = min(6.0, max(0.9, rng.uniform(low, min(high, low + 3))))
    drill = name_drill(who, exercise)
    drill.cadence = cadence
    chance = rng.random()
    if kind in {"straight", "superset", "mat"} and cadence >= 1.8 and chance < 0.16:
        drill.tempo = rng.choice(TEMPOS)
        drill.up_first = len(drill.tempo) == 2 and (drill.tempo[0] < drill.tempo[1] or rng.random() < 0.2)
        drill.cadence = sum(drill.tempo) * rng.uniform(0.94, 1.06)
    elif kind in {"mat", "straight", "seated"} and chance > 0.9:
        drill.each = rng.choice([2, 3, 3, 4, 5])
        drill.cadence = drill.each + rng.uniform(1.6, 2.4)
    fits = [n for n in TARGETS if SHORTEST_SET <= n * drill.cadence <= LONGEST_SET] or [4 if cadence > 3 else 12]
    drill.target = rng.choice(fits)
    way = rng.random()
    if way < habits.down:
        drill.mode = "down"
    elif way < habits.down + habits.late:
        drill.mode = "late"
    return drill


def turn(who: Performer, drill: Drill, act: str, **slots: str | int) -> None:
    """Start a chapter: name the exercise, or set it up and name it then."""
    stage, rng = who.stage, who.rng
    stage.mark(f"= exercise {drill.exercise.gold_names()}")
    if act == "turn" and rng.random() < 0.12:
        stage.act("turn_silent")
        set_up(who, drill, rng.randint(0, 1))
        stage.act("name_late", **drill.names())
        return
    again = act == "turn_again" and rng.random() < 0.35
    if again and rng.random() < 0.3:
        drill.said = drill.exercise.spoken(rng)
    stage.act(act, **drill.names(again), **slots)


def set_up(who: Performer, drill: Drill, lines: int) -> None:
    stage, rng = who.stage, who.rng
    own = f"setup_{position_key(drill.exercise.position)}"
    for k in range(lines):
        stage.act(own if own in phrases() and (k == 0 or (k == 1 and rng.random() < 0.4)) else "setup_any")
    if lines and rng.random() < 0.12:
        stage.act("degrees", degrees=tag("degrees", rng.choice([30, 45, 60, 90])))
    if lines and rng.random() < 0.15 and {"dumbbell", "kettlebell"} & set(drill.exercise.equipment):
        stage.act("weight", load=load(rng))
    if lines and rng.random() < 0.15:
        chatter(stage, who.habits)


def announce(who: Performer, drill: Drill, sided: bool = False) -> int | None:
    """Say the target (or that there is none) and return it."""
    stage, rng, habits = who.stage, who.rng, who.habits
    if drill.tempo:
        names = ["first", "second", "third"][: len(drill.tempo)]
        act = "tempo_pause" if len(names) == 3 else "tempo_up_first" if drill.up_first else "tempo_down_first"
        stage.act(act, **dict(zip(names, drill.tempo, strict=True)))
    if drill.each:
        stage.act("tempo_each", each=drill.each)
    if drill.target is None or rng.random() > habits.announced:
        if rng.random() < 0.7:
            stage.act("target_none")
        return None
    said = tag("target", drill.target)
    if rng.random() < habits.changed:
        wrong = drill.target + rng.choice([-4, -2, 2, 4, 5])
        if wrong > 2:
            stage.act("target_changed", wrong=tag("target", wrong), target=said)
            return drill.target
    stage.act("target_sides" if sided and rng.random() < 0.5 else "target", target=said)
    return drill.target


def rep_set(drill: Drill, target: int | None, side: str | None = None, round: int | None = None) -> RepSet:
    """Return a set of the drill, as yet without a mistake."""
    assert drill.target is not None
    return RepSet(
        drill.target,
        drill.cadence,
        target,
        drill.exercise.position,
        drill.mode,
        side=side,
        round=round,
        tempo=drill.tempo,
        each=drill.each,
    )
