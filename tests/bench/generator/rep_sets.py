"""The sets of reps of one exercise in one round: one, or one a side; and what may go wrong in them."""

from __future__ import annotations

from tests.bench.generator.calls import RepSet
from tests.bench.generator.counting import ROOMY_FOR_MISTAKES, count_reps
from tests.bench.generator.drills import Drill, announce, rep_set
from tests.bench.generator.performer import Performer, count_in
from tests.bench.generator.phrases import in_words, tag

COUNTED_MISTAKES = ("skipped-count", "repeated-count")
TARGET_MISTAKES = ("over-target", "under-target")
SAID_MISTAKES = ("remaining-mismatch", "halfway-off")


def do_reps(who: Performer, drill: Drill, target: int | None, round: int | None = None) -> None:
    """Perform the sets of a drill: one, or one a side."""
    drill.announced = target
    if drill.exercise.sides == "yes":
        _both_sides(who, drill, target, round)
        return
    one = rep_set(drill, target, round=round)
    one.mistake = who.mistake(*possible_mistakes(drill, target, round))
    _rush(who, one)
    count_in(who)
    drill.slipped = count_reps(who.stage, who.habits, one) != drill.target


def do_round(who: Performer, drill: Drill, number: int) -> None:
    """Do a drill's sets of one round: the target said, said again, changed, or left out."""
    stage, rng = who.stage, who.rng
    sided = drill.exercise.sides == "yes"
    if number == 1:
        do_reps(who, drill, announce(who, drill, sided), round=number)
        return
    assert drill.target is not None
    known = drill.announced
    changed = drill.target + rng.choice([-2, -2, 2, -4] if drill.target > 6 else [-1, 2])
    plain = not (drill.tempo or drill.each or sided or drill.slipped)
    if plain and who.mistake("round-mismatch"):
        _other_than_before(who, drill, changed, number)
        return
    chance = rng.random()
    if known is None:
        do_reps(who, drill, None, round=number)
    elif drill.slipped or chance < 0.35:
        stage.act("target", target=tag("target", known))
        do_reps(who, drill, known, round=number)
    elif chance < 0.7:
        stage.act("target_same")
        do_reps(who, drill, known, round=number)
    elif chance < 0.85:
        stage.act("target_less", target=tag("target", changed), was="{other}" + in_words(known))
        drill.target = changed
        do_reps(who, drill, changed, round=number)
    else:
        do_reps(who, drill, None, round=number)


def _other_than_before(who: Performer, drill: Drill, count: int, number: int) -> None:
    """Do another number of reps than in the round before, and say nothing of it."""
    note = f"{in_words(count)} this time, {in_words(drill.target or 0)} before, and nobody said so"
    target = None
    if drill.announced and who.rng.random() < 0.5:
        target = count
        who.stage.act("target", target=tag("target", count))
    drill.target, drill.announced = count, target
    one = rep_set(drill, target, round=number)
    one.notes.append(("round-mismatch", note))
    count_reps(who.stage, who.habits, one)


def _both_sides(who: Performer, drill: Drill, target: int | None, round: int | None) -> None:
    stage, rng = who.stage, who.rng
    sides = ["left", "right"]
    if rng.random() < 0.5:
        sides.reverse()
    stage.act("side_first", side=sides[0], Side=sides[0].capitalize())
    count_in(who)
    one = rep_set(drill, target, side=sides[0], round=round)
    said = [k for k in possible_mistakes(drill, target, round) if k in SAID_MISTAKES or "tempo" in k]
    one.mistake = who.mistake(*said)
    _rush(who, one)
    before = count_reps(stage, who.habits, one)
    _swap(who, drill, target, sides[1])
    one = rep_set(drill, target, side=sides[1], round=round)
    uneven = target is not None or round is None
    uneven = uneven and one.performed > 4 and one.cadence >= ROOMY_FOR_MISTAKES
    one.mistake = who.mistake(*possible_mistakes(drill, target, round), *["side-imbalance"] * (4 if uneven else 0))
    _rush(who, one)
    if one.mistake == "side-imbalance":
        one.mistake = None if target is None else rng.choice(TARGET_MISTAKES)
        one.performed += rng.choice([-2, -1, 1, 2]) if target is None else 0
    done = count_reps(stage, who.habits, one)
    drill.slipped = done != before
    if drill.slipped:
        note = f"{in_words(before)} on the {sides[0]}, {in_words(done)} on the {sides[1]}"
        stage.mark(f"! side-imbalance {note}")


def possible_mistakes(drill: Drill, target: int | None, round_: int | None = None) -> list[str]:
    """Return the kinds of mistake that can be made in a drill's set, the likelier ones more than once."""
    if drill.target is None or drill.target < 6 or drill.cadence < ROOMY_FOR_MISTAKES:
        return []
    kinds = ["halfway-off"] if drill.each else [*SAID_MISTAKES, "remaining-mismatch"]
    if target is not None:
        kinds += [*COUNTED_MISTAKES * 2, *TARGET_MISTAKES]
    elif round_ is None:
        kinds += COUNTED_MISTAKES
    return kinds + ["tempo-off-clock"] * 6 * bool(drill.tempo)


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
