"""Blocks counted by the rep: straight sets, supersets, ladders, every-minute work, barre."""

from __future__ import annotations

from tests.bench.generator.calls import RepSet
from tests.bench.generator.counting import ROOMY_FOR_MISTAKES, count_reps, free_set
from tests.bench.generator.drills import Drill, announce, draw_drill, name_list, rep_set, set_up, turn
from tests.bench.generator.exercises import plural
from tests.bench.generator.performer import Performer, rest, stop
from tests.bench.generator.phrases import in_words, tag
from tests.bench.generator.plan import Block
from tests.bench.generator.rep_sets import SAID_MISTAKES, do_reps, do_round, possible_mistakes
from tests.bench.generator.timing import SHORTEST_OFF_CLOCK, TimedSet, keep_time


def straight(who: Performer, block: Block, place: str) -> None:
    for k, exercise in enumerate(block.exercises):
        drill = draw_drill(who, exercise, block.kind)
        first = place == "first" and k == 0
        last = place == "last" and k == len(block.exercises) - 1
        act = "turn_first" if first else "turn_last" if last and who.rng.random() < 0.5 else "turn"
        turn(who, drill, act)
        set_up(who, drill, who.rng.randint(1, 4))
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
        stop(who)


def superset(who: Performer, block: Block, place: str) -> None:
    stage, rng = who.stage, who.rng
    drills = [draw_drill(who, one, block.kind) for one in block.exercises]
    rounds = block.rounds - block.missing
    for number in range(1, rounds + 1):
        for k, drill in enumerate(drills):
            if number == 1:
                turn(who, drill, ("turn_first" if place == "first" else "turn") if k == 0 else "turn_two")
                if k == 0:
                    stage.act("superset", rounds=block.rounds)
                    if rng.random() < 0.35:
                        stage.act("plan_list", list=name_list(drills))
                set_up(who, drill, rng.randint(1, 3))
            else:
                turn(who, drill, "turn_again" if k == 0 else "turn_two", round=tag("rounds", number))
                set_up(who, drill, rng.randint(0, 1))
            do_round(who, drill, number)
            if rng.random() < 0.4:
                stage.act("stop")
        if number < rounds:
            if rng.random() < 0.6:
                stage.act("round_end", round=tag("rounds", number))
            if rng.random() < 0.6:
                rest(who, rng.choice([20, 30, 30, 45]))
    mark_missing_round(who, block, rounds)
    stage.act("block_end")


def ladder(who: Performer, block: Block, place: str) -> None:
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
                set_up(who, drill, rng.randint(1, 3))
                stage.act("target", target=said)
            else:
                stage.mark(f"= exercise {drill.exercise.gold_names()}")
                down = target < top and step > block.targets.index(top)
                stage.act("step_down" if down else "step", target=said, names=plural(drill.exercise.spoken(rng)))
            one = rep_set(drill, target)
            one.mistake = who.mistake(*possible_mistakes(drill, target))
            count_reps(stage, who.habits, one)
        if rng.random() < 0.5:
            stage.act("stop")


def minutes(who: Performer, block: Block, place: str) -> None:
    stage = who.stage
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
            set_up(who, drill, 1)
        stage.act("target", target=tag("target", drill.target))
        if minute > 1:
            stage.clock = max(stage.clock, begin + 60 * (minute - 1) - 6)
        stage.act("minute", n=minute)
        one = rep_set(drill, drill.target, round=(minute - 1) // len(drills) + 1)
        one.mistake = who.mistake(*[k for k in possible_mistakes(drill, drill.target) if "tempo" not in k])
        started = stage.clock
        count_reps(stage, who.habits, one)
        begin = started if minute == 1 else begin
        spare = begin + 60 * minute - stage.clock
        if minute < block.rounds and spare > 12:
            n = max(5, int((spare - 3) // 5 * 5))
            stage.act("minute_left", n=n)
    stage.act("block_end")


def barre(who: Performer, block: Block, place: str) -> None:
    """Do small work on each side: full range in eights, pulses, a hold."""
    stage, rng, habits = who.stage, who.rng, who.habits
    for exercise in block.exercises:
        drill = draw_drill(who, exercise, "barre")
        turn(who, drill, "turn")
        set_up(who, drill, rng.randint(1, 3))
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
            one = RepSet(pulses, rng.uniform(0.9, 1.1), pulses, exercise.position, "eights", side=side, range="pulse")
            if rng.random() < habits.down:
                one.mode = "down"
            count_reps(stage, habits, one)
            if hold:
                stage.act("seconds", target=tag("target", hold))
                mistake = who.mistake("hold-off-clock") if hold >= SHORTEST_OFF_CLOCK else None
                keep_time(stage, habits, TimedSet(hold, True, True, exercise.position, mistake, side, None))
        stop(who)


def mark_missing_round(who: Performer, block: Block, rounds: int) -> None:
    if block.missing:
        said, done = in_words(block.rounds), in_words(rounds)
        who.stage.mark(f"! rounds-missing {said} rounds announced, {done} done")


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
        stop(who)
    mark_missing_round(who, block, rounds)


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
