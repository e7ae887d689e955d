"""Blocks kept by the clock or by the breath: circuits of intervals, holds, stretches."""

from __future__ import annotations

from tests.bench.generator.counted_blocks import mark_missing_round
from tests.bench.generator.drills import name_drill, name_list, set_up, turn
from tests.bench.generator.performer import Performer, count_in, rest, stop
from tests.bench.generator.phrases import tag
from tests.bench.generator.plan import Block
from tests.bench.generator.timing import SHORTEST_OFF_CLOCK, TimedSet, breathe, keep_time


def circuit(who: Performer, block: Block, place: str) -> None:
    stage, rng = who.stage, who.rng
    drills = [name_drill(who, one) for one in block.exercises]
    rounds = block.rounds - block.missing
    for number in range(1, rounds + 1):
        for k, drill in enumerate(drills):
            again = number > 1 and k == 0
            turn(who, drill, "turn_again" if again else "turn", round=tag("rounds", number))
            if number == 1 and k == 0:
                if rng.random() < 0.4:
                    stage.act("plan_list", list=name_list(drills))
                stage.act("circuit", work=block.work, off=block.off)
                if block.rounds > 1:
                    stage.act("superset", rounds=block.rounds)
            set_up(who, drill, rng.randint(0, 2 if number == 1 else 1))
            if rng.random() < 0.3:
                stage.act("seconds", target=tag("target", block.work))
            count_in(who)
            mistake = who.mistake("interval-off-clock", "interval-off-clock", "halfway-off")
            one = TimedSet(block.work, True, False, drill.exercise.position, mistake)
            keep_time(stage, who.habits, TimedSet(**{**vars(one), "round": number if block.rounds > 1 else None}))
            if not (number == rounds and k == len(drills) - 1):
                rest(who, block.off, "rest_short")
        if number < rounds and rng.random() < 0.5:
            stage.act("round_end", round=tag("rounds", number))
    mark_missing_round(who, block, rounds)
    stage.act("block_end")


def holds(who: Performer, block: Block, place: str) -> None:
    stage, rng = who.stage, who.rng
    for k, exercise in enumerate(block.exercises):
        drill = name_drill(who, exercise)
        turn(who, drill, "turn_first" if place == "first" and k == 0 else "turn")
        set_up(who, drill, rng.randint(1, 2))
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
            count_in(who)
            kinds = ["hold-off-clock"] * (2 * (seconds >= SHORTEST_OFF_CLOCK))
            kinds += ["halfway-off"] * (seconds >= 20)
            keep_time(stage, who.habits, TimedSet(seconds, True, True, exercise.position, who.mistake(*kinds), side))
        stop(who)


def stretches(who: Performer, block: Block, place: str) -> None:
    stage, rng = who.stage, who.rng
    for exercise in block.exercises:
        drill = name_drill(who, exercise)
        turn(who, drill, "turn")
        set_up(who, drill, 1)
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
        stop(who)
