"""Endless random classes with gold, as annotated class scripts (``FORMAT.md``): for fitting and for tests.

    python -m tests.bench.generate --seed 1 --count 5 --out DIR [--clean] [--noise SHARE]

The same seed gives the same script to the byte. A class is drawn (discipline, presenter, blocks), then
performed on a stage with a clock: every rep has its time, and what is called is put where its rep is.
Mistakes are planted and marked as they are made; a clean class has none. Every person in it is made up.
"""

from __future__ import annotations

import argparse
import random
from pathlib import Path

from tests.bench.generator.blocks import perform
from tests.bench.generator.exercises import plural
from tests.bench.generator.filling import numbers
from tests.bench.generator.habits import Habits, draw_habits
from tests.bench.generator.noise import Noise, disturb
from tests.bench.generator.performer import Performer, absent, load, rest
from tests.bench.generator.phrases import expand
from tests.bench.generator.plan import Block, Discipline, draw_plan
from tests.bench.generator.speech import Stage, Style, script_text

#: A class lasts between these, in seconds; one that does not is drawn anew.
SHORTEST, LONGEST = 480.0, 960.0


def generate(seed: int, noise: Noise = Noise(), clean: bool = False) -> str:  # noqa: B008
    """Return the script of the class with this number; ``clean`` leaves all mistakes out."""
    for attempt in range(100):
        rng = random.Random(f"{seed} {attempt} {clean}")
        stage, header = _perform_class(rng, seed, clean)
        if SHORTEST <= stage.clock <= LONGEST:
            rows = disturb(stage.rows, noise, random.Random(f"noise {seed}"))
            return script_text(header, rows)
    raise RuntimeError(f"no class of seed {seed} lasts between {SHORTEST:.0f} and {LONGEST:.0f} s")


def main() -> None:
    """Write scripts to a folder, one a seed."""
    parser = argparse.ArgumentParser(description="Write random annotated class scripts.")
    parser.add_argument("--seed", type=int, default=0, help="number of the first class")
    parser.add_argument("--count", type=int, default=1)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--clean", action="store_true", help="plant no mistakes")
    parser.add_argument("--noise", type=float, default=0.0, help="share of the usual recogniser's errors, 0 to 1")
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    noise = Noise.usual(options.noise)
    for seed in range(options.seed, options.seed + options.count):
        path = options.out / f"g{seed:04}.class.txt"
        path.write_text(generate(seed, noise, options.clean), "utf-8")


def _perform_class(rng: random.Random, seed: int, clean: bool) -> tuple[Stage, dict[str, str]]:
    habits = draw_habits(rng)
    style = Style(rough=rng.random() < 0.35, figures=rng.choice([0.0, 0.0, 0.1, 0.3, 0.7, 1.0]))
    stage = Stage(rng, style, habits.rate)
    work = rng.uniform(400, 760)
    discipline, blocks = draw_plan(rng, clean, work)
    who = Performer(stage, habits, clean)
    _welcome(who, habits, discipline, blocks, round((work + 120) / 60))
    for k, block in enumerate(blocks):
        place = "first" if k == 0 else "last" if k == len(blocks) - 1 else ""
        who.later = [plural(one.name) for later in blocks[k + 2 :] for one in later.exercises]
        perform(who, block, place)
        if place != "last" and rng.random() < 0.45:
            rest(who, rng.choice([20, 30, 40, 45]))
    _farewell(who, sum(len(block.exercises) for block in blocks))
    voices = "two presenters" if habits.partner else "one presenter"
    written = "rough lower-case captions" if style.rough else "punctuated"
    header = {
        "id": f"g{seed:04}",
        "title": f"Generated class {seed}: {discipline.name}",
        "style": f"{discipline.name}, {written}, {voices}",
    }
    return stage, header


def _welcome(who: Performer, habits: Habits, discipline: Discipline, blocks: list[Block], minutes: int) -> None:
    stage, rng = who.stage, who.rng
    stage.mark("= intro")
    slots: dict[str, str | int] = {
        "host": habits.host,
        "partner": habits.partner or "",
        "day": rng.randint(2, 28),
    }
    stage.act("hello", **slots)
    if rng.random() < 0.5:
        stage.act("hello", **slots)
    if habits.partner:
        stage.act("hello_two", **slots)
    if rng.random() < 0.6:
        stage.act("time", minutes=minutes)
    if discipline.kit is None:
        stage.act("kit_none")
    else:
        stage.act("kit", kit=expand(discipline.kit, {}, rng))
        if "dumbbell" in discipline.kit and rng.random() < 0.7:
            stage.act("load", load=load(rng))
    for block in blocks:
        if rng.random() < 0.55:
            _tell(who, block)
    if rng.random() < 0.45:
        stage.act("absent", **absent(rng))
    if rng.random() < 0.6:
        stage.act("safety")
    if rng.random() < 0.3:
        stage.act("chat", **numbers(stage))
    stage.act("set_off")


def _tell(who: Performer, block: Block) -> None:
    act = {"stretches": "plan_stretch", "holds": "plan_mat", "minutes": "plan_minute"}.get(
        block.kind, f"plan_{block.kind}"
    )
    moves = max(2, len(block.exercises))
    if who.rng.random() < 0.25 and len(block.exercises) > 1:
        names = [plural(one.name) for one in block.exercises]
        who.stage.act("plan_list", list=f"{', '.join(names[:-1])} and {names[-1]}")
        return
    if block.kind == "superset" or len(block.exercises) > 1 or block.kind in {"minutes", "ladder"}:
        who.stage.act(act, moves=moves, rounds=block.rounds, work=block.work, off=block.off)


def _farewell(who: Performer, moves: int) -> None:
    stage, rng = who.stage, who.rng
    stage.mark("= outro")
    stage.act("done")
    for _ in range(rng.randint(1, 4)):
        stage.wait(rng.uniform(1.5, 6.0))
        stage.act("stretch_out")
    if rng.random() < 0.6:
        stage.act("recap", moves=moves, minutes=round(stage.clock / 60), percent=rng.randint(50, 99))
    if rng.random() < 0.5:
        stage.act("next_time", day=rng.randint(2, 28), **absent(rng))
    stage.act("bye")


if __name__ == "__main__":
    main()
