"""Blocks of a class: straight sets, supersets, circuits, ladders, every-minute work, barre, holds, stretches.

Each block is drawn first (so that the welcome can tell the plan) and performed later on the stage.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field

from tests.bench.generator.counting import ROOMY_FOR_MISTAKES, RepSet, count_reps, free_set
from tests.bench.generator.exercises import Exercise, plural
from tests.bench.generator.filling import chatter, numbers, position_key
from tests.bench.generator.habits import Habits
from tests.bench.generator.phrases import in_words, phrases, tag
from tests.bench.generator.speech import Stage
from tests.bench.generator.timing import SHORTEST_OFF_CLOCK, TimedSet, breathe, keep_time

#: Chance that a set goes wrong in a class that has mistakes, and that a block loses its last round.
MISTAKE, ROUNDS_MISSING = 0.14, 0.2
#: An announced rest this long (s) is a chapter.
REST_CHAPTER = 20
TARGETS = (4, 5, 6, 8, 8, 10, 10, 12, 12, 14, 15, 16, 20)
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
COUNTED_MISTAKES = ("skipped-count", "repeated-count")
TARGET_MISTAKES = ("over-target", "under-target")
SAID_MISTAKES = ("remaining-mismatch", "halfway-off")


@dataclass
class Block:
    """One stretch of the class: its kind, its exercises with their target, and how often it goes round."""

    kind: str
    exercises: list[Exercise]
    rounds: int = 1
    work: int = 0
    off: int = 0
    missing: bool = False
    targets: list[int] = field(default_factory=list)


@dataclass
class Performer:
    """Whoever performs a block: the stage, the habits, and whether mistakes are made."""

    stage: Stage
    habits: Habits
    clean: bool

    @property
    def rng(self) -> random.Random:
        """The one source of chance."""
        return self.stage.rng

    def mistake(self, *kinds: str) -> str | None:
        """Return one of the kinds of mistake, now and then."""
        if self.clean or not kinds or self.rng.random() > MISTAKE:
            return None
        return self.rng.choice(kinds)


@dataclass
class Drill:
    """An exercise within a block: what it is called here, its cadence, target and what was done so far."""

    exercise: Exercise
    said: str
    cadence: float
    target: int | None
    tempo: tuple[int, ...] | None = None
    up_first: bool = False
    each: int | None = None
    mode: str = "up"
    done: dict[str | None, int] = field(default_factory=dict)

    def names(self) -> dict[str, str | int]:
        """Return the slots that name the exercise."""
        several = plural(self.said)
        article = "the " if several == self.said else ""
        return {"the_name": f"the {self.said}", "names": several, "the_names": f"{article}{several}"}


def perform(who: Performer, block: Block, place: str) -> None:
    """Perform a block; ``place`` is ``first``, ``last`` or empty."""
    PERFORMERS[block.kind](who, block, place)


def draw_drill(who: Performer, exercise: Exercise, kind: str) -> Drill:
    """Draw how an exercise is done: cadence, target, tempo, way of counting."""
    rng, habits = who.rng, who.habits
    low, high = exercise.seconds
    cadence = min(6.0, max(0.9, rng.uniform(low, min(high, low + 3))))
    drill = Drill(exercise, exercise.spoken(rng), cadence, None)
    chance = rng.random()
    if kind in {"straight", "superset", "mat"} and cadence >= 1.8 and chance < 0.16:
        drill.tempo = rng.choice(TEMPOS)
        drill.up_first = len(drill.tempo) == 2 and (drill.tempo[0] < drill.tempo[1] or rng.random() < 0.2)
        drill.cadence = sum(drill.tempo) * rng.uniform(0.94, 1.06)
    elif kind in {"mat", "straight", "seated"} and chance > 0.9:
        drill.each = rng.choice([2, 3, 3, 4, 5])
        drill.cadence = drill.each + rng.uniform(1.6, 2.4)
    fits = [n for n in TARGETS if SHORTEST_SET <= n * drill.cadence <= LONGEST_SET] or [
        4 if cadence > 3 else 12
    ]
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
        _set_up(who, drill, rng.randint(0, 1))
        stage.act("name_late", **drill.names())
        return
    stage.act(act, **drill.names(), **slots)


def _set_up(who: Performer, drill: Drill, lines: int) -> None:
    stage, rng = who.stage, who.rng
    own = f"setup_{position_key(drill.exercise.position)}"
    for k in range(lines):
        stage.act(own if own in phrases() and (k == 0 or rng.random() < 0.4) else "setup_any")
    if lines and rng.random() < 0.12:
        stage.act("degrees", degrees=tag("degrees", rng.choice([30, 45, 60, 90])))
    if lines and rng.random() < 0.15 and {"dumbbell", "kettlebell"} & set(drill.exercise.equipment):
        stage.act("weight", load=load(rng))
    if lines and rng.random() < 0.15:
        chatter(stage, who.habits)


def load(rng: random.Random) -> str:
    """Return a weight, tagged."""
    n = rng.choice([2, 3, 4, 5, 6, 8, 10, 12, 16])
    return tag("load", n) + rng.choice([" kilos", " kilos", " kilo weights", " pounds"])


def _count_in(who: Performer, end_with: str = "") -> None:
    stage, rng = who.stage, who.rng
    if rng.random() < who.habits.countin:
        count = rng.choice([2, 3, 3, 3, 4])
        lead = stage.phrase("countin_lead") + " " if rng.random() < 0.4 else ""
        stage.say(lead + ", ".join(tag("countin", n) for n in range(count, 0, -1)) + end_with)
    elif rng.random() < 0.25:
        stage.act("ready")


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


def _rep_set(who: Performer, drill: Drill, target: int | None, **keys: object) -> RepSet:
    assert drill.target is not None
    one = RepSet(drill.target, drill.cadence, target, drill.exercise.position, drill.mode)
    one.tempo, one.each = drill.tempo, drill.each
    for key, value in keys.items():
        setattr(one, key, value)
    return one


def _possible_mistakes(drill: Drill, target: int | None, round_: int | None = None) -> list[str]:
    if drill.target is None or drill.target < 6 or drill.cadence < ROOMY_FOR_MISTAKES:
        return []
    kinds = [*SAID_MISTAKES]
    if target is not None:
        kinds += [*COUNTED_MISTAKES, *TARGET_MISTAKES]
    elif round_ is None:
        kinds += COUNTED_MISTAKES
    if drill.tempo:
        kinds += ["tempo-off-clock"] * 4
    return [kind for kind in kinds if not (drill.each and kind == "remaining-mismatch")]


def do_reps(who: Performer, drill: Drill, target: int | None, **keys: object) -> None:
    """Perform the sets of a drill: one, or one a side."""
    stage, rng = who.stage, who.rng
    round_ = keys.get("round")
    assert round_ is None or isinstance(round_, int)
    if drill.exercise.sides != "yes":
        one = _rep_set(who, drill, target, **keys)
        one.mistake = who.mistake(*_possible_mistakes(drill, target, round_))
        _rush(who, one)
        _count_in(who)
        drill.done[None] = count_reps(stage, who.habits, one)
        return
    sides = ["left", "right"]
    if rng.random() < 0.5:
        sides.reverse()
    stage.act("side_first", side=sides[0], Side=sides[0].capitalize())
    _count_in(who)
    one = _rep_set(who, drill, target, side=sides[0], **keys)
    kinds = [k for k in _possible_mistakes(drill, target, round_) if k in SAID_MISTAKES or "tempo" in k]
    one.mistake = who.mistake(*kinds)
    _rush(who, one)
    before = count_reps(stage, who.habits, one)
    _swap(who, drill, target, sides[1])
    one = _rep_set(who, drill, target, side=sides[1], **keys)
    one.mistake = who.mistake(*_possible_mistakes(drill, target, round_), "side-imbalance", "side-imbalance")
    _rush(who, one)
    if one.mistake == "side-imbalance":
        one.mistake = None
        if target is not None:
            one.mistake = rng.choice(TARGET_MISTAKES) if one.performed > 4 else "over-target"
        else:
            one.performed += rng.choice([-2, -1, 1, 2])
    done = count_reps(stage, who.habits, one)
    if done != before:
        stage.mark(
            f"! side-imbalance {in_words(before)} on the {sides[0]}, {in_words(done)} on the {sides[1]}"
        )


def _rush(who: Performer, one: RepSet) -> None:
    """Let a set with the mistake of a wrong tempo take clearly other time than announced."""
    if one.mistake == "tempo-off-clock":
        one.cadence *= who.rng.uniform(0.45, 0.57) if one.cadence > 3.2 else who.rng.uniform(1.5, 1.7)


def _swap(who: Performer, drill: Drill, target: int | None, side: str) -> None:
    stage = who.stage
    stage.act("stop" if who.rng.random() < 0.4 else "cue")
    slots: dict[str, str | int] = {"side": side, "Side": side.capitalize()}
    chance = who.rng.random()
    if target is not None and chance < 0.5:
        stage.act("side_swap_target", target=tag("target", target), **slots)
    elif chance < 0.75:
        stage.act("side_swap_same", **slots)
    else:
        stage.act("side_swap", **slots)


def rest(who: Performer, seconds: int, say: str = "rest_long") -> None:
    """Announce a rest and talk through it; a chapter where it is long enough."""
    stage, rng = who.stage, who.rng
    start = stage.clock
    if seconds >= REST_CHAPTER:
        stage.mark("= rest")
    stage.act(say, rest=seconds)
    while stage.clock < start + seconds - 14:
        if rng.random() < 0.6:
            stage.act("rest_chat", rng.uniform(1.5, 4))
        else:
            chatter(stage, who.habits)
    left = rng.choice([5, 10]) if seconds >= REST_CHAPTER else 3
    wait = start + seconds - left - stage.clock
    if wait > 0.5 and seconds >= REST_CHAPTER and rng.random() < 0.6:
        stage.act("rest_clock", wait, n=left)
    stage.clock = max(stage.clock, start + seconds - 4)


def _stop(who: Performer) -> None:
    if who.rng.random() < 0.85:
        who.stage.act("stop")
    if who.rng.random() < 0.15:
        who.stage.act("absent_work", **absent(who.rng))


def absent(rng: random.Random) -> dict[str, str | int]:
    """Return the slots for an exercise that is mentioned and not done."""
    one = rng.choice(
        "burpee deadlift sit-up push-up jumping-jack pull-up mountain-climber box-jump sprint".split()
    )
    name = one.replace("-", " ") if one in {"jumping-jack", "mountain-climber", "box-jump"} else one
    return {"absent": f"{name}s", "absent_one": name}


def _straight(who: Performer, block: Block, place: str) -> None:
    for k, exercise in enumerate(block.exercises):
        drill = draw_drill(who, exercise, block.kind)
        first = place == "first" and k == 0
        last = place == "last" and k == len(block.exercises) - 1
        act = "turn_first" if first else "turn_last" if last and who.rng.random() < 0.5 else "turn"
        turn(who, drill, act)
        _set_up(who, drill, who.rng.randint(1, 3))
        if block.rounds > 1:
            _sets(who, block, drill)
        elif who.rng.random() < 0.04:
            who.stage.act("target_free")
            free_set(who.stage, who.habits, RepSet(0, 3.0, None, exercise.position), who.rng.uniform(18, 30))
        else:
            ranged = exercise.sides == "no" and not (drill.tempo or drill.each) and who.rng.random() < 0.15
            if ranged:
                _ranges(who, drill)
            else:
                do_reps(who, drill, announce(who, drill, exercise.sides == "yes"))
        _stop(who)


def _sets(who: Performer, block: Block, drill: Drill) -> None:
    """Do several sets of one exercise, with rests between them."""
    stage, rng = who.stage, who.rng
    rounds = block.rounds - block.missing
    stage.act("sets", rounds=block.rounds)
    for number in range(1, rounds + 1):
        if number > 1:
            rest(who, rng.choice([20, 25, 30, 40]))
            turn(who, drill, "turn_again", round=tag("rounds", number))
        do_round(who, drill, number)
        _stop(who)
    _missing(who, block, rounds)


def do_round(who: Performer, drill: Drill, number: int) -> None:
    """Do a drill's sets of one round: the target said, said again, changed, or left out."""
    stage, rng = who.stage, who.rng
    sided = drill.exercise.sides == "yes"
    if number == 1:
        target = announce(who, drill, sided)
        drill.done["target"] = target or 0
        do_reps(who, drill, target, round=number)
        return
    assert drill.target is not None
    known = drill.done.get("target") or None
    chance = rng.random()
    other = drill.target + rng.choice([-2, -2, 2, -4] if drill.target > 6 else [-1, 2])
    plain = not (drill.tempo or drill.each or sided)
    was_right = drill.done.get(None) == drill.target
    if plain and was_right and who.mistake("round-mismatch", "round-mismatch"):
        note = f"{in_words(other)} this time, {in_words(drill.target)} before, and nobody said so"
        drill.target = other
        target = None
        if known and rng.random() < 0.5:
            target = other
            stage.act("target", target=tag("target", other))
        one = _rep_set(who, drill, target, round=number, notes=[("round-mismatch", note)])
        drill.done[None] = count_reps(stage, who.habits, one)
        drill.done["target"] = other if target else 0
        return
    if known and chance < 0.2:
        stage.act("target_less", target=tag("target", other), was=_plain(known))
        drill.target = drill.done["target"] = target = other
    elif known and chance < 0.55:
        stage.act("target_same")
        target = known
    elif known and chance < 0.85:
        stage.act("target", target=tag("target", known))
        target = known
    else:
        target = None
    do_reps(who, drill, target, round=number)


def _plain(n: int) -> str:
    return "{other}" + in_words(n)


def _missing(who: Performer, block: Block, rounds: int) -> None:
    if block.missing:
        said, done = in_words(block.rounds), in_words(rounds)
        who.stage.mark(f"! rounds-missing {said} rounds announced, {done} done")


def _ranges(who: Performer, drill: Drill) -> None:
    """Do the full range, then a part of it or pulses, in one chapter."""
    stage, rng = who.stage, who.rng
    assert drill.target is not None
    parts = rng.choice([["full", "pulse"], ["full", "pulse"], ["lower", "upper", "full"]])
    for k, part in enumerate(parts):
        count = drill.target if k == 0 else rng.choice([6, 8, 10, 12])
        small = part == "pulse"
        cadence = rng.uniform(0.9, 1.2) if small else drill.cadence
        if k:
            count = rng.choice([8, 10, 12, 16, 20]) if small else drill.target
        act = "target" if k == 0 and part == "full" else f"range_{part}"
        stage.act(act, target=tag("target", count))
        one = RepSet(count, cadence, count, drill.exercise.position, drill.mode, range=part)
        count_reps(stage, who.habits, one)


def _superset(who: Performer, block: Block, place: str) -> None:
    stage, rng = who.stage, who.rng
    drills = [draw_drill(who, one, block.kind) for one in block.exercises]
    rounds = block.rounds - block.missing
    for number in range(1, rounds + 1):
        for k, drill in enumerate(drills):
            if number == 1:
                turn(who, drill, ("turn_first" if place == "first" else "turn") if k == 0 else "turn_two")
                if k == 0:
                    stage.act("superset", rounds=block.rounds)
                _set_up(who, drill, rng.randint(1, 2))
            else:
                turn(who, drill, "turn_again" if k == 0 else "turn_two", round=tag("rounds", number))
                _set_up(who, drill, rng.randint(0, 1))
            do_round(who, drill, number)
            if rng.random() < 0.4:
                stage.act("stop")
        if number < rounds:
            if rng.random() < 0.6:
                stage.act("round_end", round=tag("rounds", number))
            if rng.random() < 0.6:
                rest(who, rng.choice([20, 30, 30, 45]))
    _missing(who, block, rounds)
    stage.act("block_end")


def _circuit(who: Performer, block: Block, place: str) -> None:
    stage, rng = who.stage, who.rng
    drills = [Drill(one, one.spoken(rng), 2.0, None) for one in block.exercises]
    rounds = block.rounds - block.missing
    for number in range(1, rounds + 1):
        for k, drill in enumerate(drills):
            again = number > 1 and k == 0
            turn(who, drill, "turn_again" if again else "turn", round=tag("rounds", number))
            if number == 1 and k == 0:
                stage.act("circuit", work=block.work, off=block.off)
                if block.rounds > 1:
                    stage.act("superset", rounds=block.rounds)
            _set_up(who, drill, rng.randint(0, 2 if number == 1 else 1))
            if rng.random() < 0.3:
                stage.act("seconds", target=tag("target", block.work))
            _count_in(who)
            mistake = who.mistake("interval-off-clock", "interval-off-clock", "halfway-off")
            one = TimedSet(block.work, True, False, drill.exercise.position, mistake)
            keep_time(
                stage, who.habits, TimedSet(**{**vars(one), "round": number if block.rounds > 1 else None})
            )
            if not (number == rounds and k == len(drills) - 1):
                rest(who, block.off, "rest_short")
        if number < rounds and rng.random() < 0.5:
            stage.act("round_end", round=tag("rounds", number))
    _missing(who, block, rounds)
    stage.act("block_end")


def _ladder(who: Performer, block: Block, place: str) -> None:
    stage, rng = who.stage, who.rng
    drills = [draw_drill(who, one, "ladder") for one in block.exercises]
    top = max(block.targets)
    for step, target in enumerate(block.targets):
        for k, drill in enumerate(drills):
            drill.target, drill.exercise = target, drill.exercise
            said = tag("target", target)
            if step == 0:
                turn(who, drill, "turn" if k == 0 else "turn_two")
                if k == 0:
                    stage.act("ladder")
                _set_up(who, drill, rng.randint(1, 2))
                stage.act("target", target=said)
            else:
                stage.mark(f"= exercise {drill.exercise.gold_names()}")
                down = target < top and step > block.targets.index(top)
                stage.act(
                    "step_down" if down else "step", target=said, names=plural(drill.exercise.spoken(rng))
                )
            one = _rep_set(who, drill, target)
            one.mistake = who.mistake(*_possible_mistakes(drill, target))
            count_reps(stage, who.habits, one)
        if rng.random() < 0.5:
            stage.act("stop")


def _minutes(who: Performer, block: Block, place: str) -> None:
    stage, rng = who.stage, who.rng
    drills = [draw_drill(who, one, "minutes") for one in block.exercises]
    begin = 0.0
    for minute in range(1, block.rounds + 1):
        drill = drills[(minute - 1) % len(drills)]
        assert drill.target is not None
        turn(who, drill, "turn", round="")
        if minute == 1:
            stage.act("minutes", rounds=block.rounds)
            while drill.target * drill.cadence > 40:
                drill.target -= 2
        again = minute > len(drills)
        if not again:
            while drill.target * drill.cadence > 38:
                drill.target -= 1
            _set_up(who, drill, 1)
        stage.act("target", target=tag("target", drill.target))
        if minute > 1:
            stage.clock = max(stage.clock, begin + 60 * (minute - 1) - 6)
        stage.act("minute", n=minute)
        one = _rep_set(who, drill, drill.target, round=(minute - 1) // len(drills) + 1)
        one.mistake = who.mistake(*[k for k in _possible_mistakes(drill, drill.target) if "tempo" not in k])
        started = stage.clock
        count_reps(stage, who.habits, one)
        begin = started if minute == 1 else begin
        spare = begin + 60 * minute - stage.clock
        if minute < block.rounds and spare > 12:
            n = max(5, int((spare - 3) // 5 * 5))
            stage.act("minute_left", n=n)
    stage.act("block_end")


def _barre(who: Performer, block: Block, place: str) -> None:
    """Do small work on each side: full range in eights, pulses, a hold."""
    stage, rng, habits = who.stage, who.rng, who.habits
    for exercise in block.exercises:
        drill = draw_drill(who, exercise, "barre")
        turn(who, drill, "turn")
        _set_up(who, drill, rng.randint(1, 2))
        sides: list[str | None] = [None]
        if exercise.sides == "yes":
            sides = ["left", "right"] if rng.random() < 0.5 else ["right", "left"]
        full, pulses, hold = rng.choice([8, 8, 16]), rng.choice([8, 16, 16, 24]), rng.choice([0, 8, 10, 15])
        for k, side in enumerate(sides):
            if side and k == 0:
                stage.act("side_first", side=side, Side=side.capitalize())
            elif side:
                stage.act("side_swap_target", side=side, Side=side.capitalize(), target=tag("target", full))
            if k == 0:
                stage.act("target", target=tag("target", full))
            eights = "eights" if full > 8 else "up"
            cadence = max(1.1, min(drill.cadence, 34 / full))
            one = RepSet(full, cadence, full, exercise.position, eights, side=side, range="full")
            kinds = [*SAID_MISTAKES] if cadence >= ROOMY_FOR_MISTAKES else []
            one.mistake = who.mistake(*kinds)
            count_reps(stage, habits, one)
            stage.act("range_pulse", target=tag("target", pulses))
            one = RepSet(
                pulses, rng.uniform(0.9, 1.1), pulses, exercise.position, "eights", side=side, range="pulse"
            )
            if rng.random() < habits.down:
                one.mode = "down"
            count_reps(stage, habits, one)
            if hold:
                stage.act("seconds", target=tag("target", hold))
                mistake = who.mistake("hold-off-clock") if hold >= SHORTEST_OFF_CLOCK else None
                keep_time(stage, habits, TimedSet(hold, True, True, exercise.position, mistake, side, None))
        _stop(who)


def _holds(who: Performer, block: Block, place: str) -> None:
    stage, rng = who.stage, who.rng
    for k, exercise in enumerate(block.exercises):
        drill = Drill(exercise, exercise.spoken(rng), 2.0, None)
        turn(who, drill, "turn_first" if place == "first" and k == 0 else "turn")
        _set_up(who, drill, rng.randint(1, 2))
        low, high = exercise.seconds
        choices = [n for n in (8, 10, 15, 20, 25, 30, 40, 45, 60) if low <= n <= min(high, 45)] or [20]
        seconds = rng.choice(choices)
        sides: list[str | None] = [None]
        if exercise.sides == "yes":
            sides = ["left", "right"] if rng.random() < 0.5 else ["right", "left"]
        for n, side in enumerate(sides):
            slots: dict[str, str | int] = {"side": side or "", "Side": (side or "").capitalize()}
            if n == 0:
                stage.act("seconds_side" if side else "seconds", target=tag("target", seconds))
                if side:
                    stage.act("side_first", **slots)
            elif rng.random() < 0.5:
                stage.act("side_swap", **slots)
            else:
                stage.act("side_swap_target", target=tag("target", seconds) + " seconds", **slots)
            _count_in(who)
            kinds = ["hold-off-clock"] * (2 * (seconds >= SHORTEST_OFF_CLOCK))
            kinds += ["halfway-off"] * (seconds >= 20)
            keep_time(
                stage, who.habits, TimedSet(seconds, True, True, exercise.position, who.mistake(*kinds), side)
            )
        _stop(who)


def _stretches(who: Performer, block: Block, place: str) -> None:
    stage, rng = who.stage, who.rng
    for exercise in block.exercises:
        drill = Drill(exercise, exercise.spoken(rng), 4.0, None)
        turn(who, drill, "turn")
        _set_up(who, drill, 1)
        breaths = rng.choice([3, 3, 4, 5])
        sides: list[str | None] = [None]
        if exercise.sides == "yes":
            sides = ["left", "right"] if rng.random() < 0.5 else ["right", "left"]
        for n, side in enumerate(sides):
            if side:
                act = "side_first" if n == 0 else "side_swap"
                stage.act(act, side=side, Side=side.capitalize())
            if n == 0 or rng.random() < 0.4:
                stage.act("breath_target", breaths=breaths)
            breathe(stage, who.habits, breaths, side, exercise.position)
        _stop(who)


PERFORMERS: dict[str, Callable[[Performer, Block, str], None]] = {
    "straight": _straight,
    "superset": _superset,
    "circuit": _circuit,
    "ladder": _ladder,
    "minutes": _minutes,
    "barre": _barre,
    "holds": _holds,
    "stretches": _stretches,
}

__all__ = ["Block", "Performer", "absent", "load", "numbers", "perform", "rest"]
