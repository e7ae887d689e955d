"""The plan of a class: its discipline, its blocks with their exercises, and about how long each will take."""

from __future__ import annotations

import random
from dataclasses import dataclass, field

from tests.bench.generator.exercises import Exercise, exercises

#: Exercises with a rep longer than this (s) are flows and carries, which nobody counts in sets.
LONGEST_REP = 6.0
#: Chance that a block loses its last round, in a class that has mistakes.
ROUNDS_MISSING = 0.2


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


@dataclass(frozen=True)
class Discipline:
    """A kind of class: where its exercises come from and which blocks it is made of, by weight."""

    name: str
    tables: frozenset[str]
    equipment: frozenset[str]
    positions: frozenset[str] | None
    blocks: dict[str, float]
    kit: str | None


def _discipline(
    name: str, tables: str, equipment: str, blocks: dict[str, float], kit: str | None, positions: str = ""
) -> Discipline:
    where = frozenset(positions.split(";")) if positions else None
    return Discipline(name, frozenset(tables.split()), frozenset(equipment.split(";")), where, blocks, kit)


DISCIPLINES = (
    _discipline(
        "dumbbell strength",
        "dumbbell",
        "dumbbell",
        {"straight": 4, "superset": 3, "holds": 0.5, "ladder": 0.5},
        "[two|a pair of] dumbbells[| and a mat]",
    ),
    _discipline(
        "kettlebell",
        "kettlebell dumbbell",
        "kettlebell",
        {"straight": 3, "ladder": 1.5, "minutes": 2, "superset": 1, "circuit": 1},
        "one kettlebell",
    ),
    _discipline(
        "band strength",
        "band",
        "band;loop band",
        {"straight": 4, "superset": 2, "holds": 0.3},
        "a band[| and a chair]",
    ),
    _discipline(
        "barbell",
        "barbell",
        "barbell",
        {"straight": 4, "superset": 1, "minutes": 0.7},
        "a bar and some plates",
    ),
    _discipline(
        "bodyweight",
        "bodyweight core",
        "none",
        {"straight": 2, "circuit": 2, "ladder": 1.5, "superset": 1, "minutes": 1, "holds": 0.7},
        None,
    ),
    _discipline(
        "intervals by the clock",
        "bodyweight core dumbbell",
        "none;dumbbell",
        {"circuit": 5, "holds": 1},
        "light dumbbells, if you like",
    ),
    _discipline(
        "barre",
        "barre",
        "none;barre;chair",
        {"barre": 5, "straight": 1, "holds": 0.5},
        "a chair or a bar to hold",
    ),
    _discipline(
        "mat core",
        "mat core",
        "none;mat",
        {"straight": 3, "holds": 1.5, "superset": 1, "barre": 0.7},
        "a mat",
    ),
    _discipline(
        "seated gentle",
        "mobility bodyweight band dumbbell core stretching",
        "none;chair;band;dumbbell",
        {"straight": 4, "superset": 1, "stretches": 1.5, "holds": 0.5},
        "a sturdy chair[| and two light weights]",
        "seated",
    ),
    _discipline(
        "stretch and mobility",
        "stretching mobility",
        "none;mat;wall",
        {"stretches": 3, "holds": 2, "straight": 1.5},
        "a mat[| and a wall]",
    ),
    _discipline(
        "calisthenics",
        "calisthenics",
        "none;pull-up bar;parallel bars;ring",
        {"straight": 4, "superset": 1.5, "ladder": 1, "holds": 1, "minutes": 0.7},
        "a bar to hang from",
    ),
)


def draw_plan(rng: random.Random, clean: bool, seconds: float) -> tuple[Discipline, list[Block]]:
    """Draw a discipline and blocks that will take about ``seconds`` of work."""
    discipline = rng.choice(DISCIPLINES)
    fitting = [
        one
        for one in exercises()
        if one.table in discipline.tables
        and (set(one.equipment) & discipline.equipment)
        and (discipline.positions is None or one.position in discipline.positions)
    ]
    used: set[str] = set()
    blocks: list[Block] = []
    planned = 0.0
    while planned < seconds:
        kinds = list(discipline.blocks)
        kind = rng.choices(kinds, [discipline.blocks[k] for k in kinds])[0]
        block = _draw_block(rng, kind, fitting, used, seconds - planned)
        if block is None:
            continue
        block.missing = not clean and block.rounds > 1 and block.kind != "minutes" and rng.random() < ROUNDS_MISSING
        blocks.append(block)
        planned += estimate(block)
    return discipline, blocks


def estimate(block: Block) -> float:
    """Return about how many seconds a block will take."""
    sets = sum(1.8 if one.sides == "yes" else 1.0 for one in block.exercises)
    rounds = block.rounds - block.missing
    each = {"straight": 50.0, "superset": 48.0, "stretches": 38.0, "holds": 42.0, "barre": 75.0}
    if block.kind == "circuit":
        return rounds * len(block.exercises) * (block.work + block.off + 7.0)
    if block.kind == "minutes":
        return 60.0 * rounds + 15.0
    if block.kind == "ladder":
        return sum(8.0 + 2.8 * n for n in block.targets) * len(block.exercises)
    return sets * rounds * each[block.kind] + (rounds - 1) * 20.0


def _draw_block(rng: random.Random, kind: str, fitting: list[Exercise], used: set[str], spare: float) -> Block | None:
    spare += 60.0
    counted = kind not in {"circuit", "holds", "stretches"}
    pool = [one for one in fitting if one.name not in used and _suits(one, kind)]
    many = {
        "straight": 3,
        "superset": 2,
        "circuit": 3,
        "ladder": 2,
        "minutes": 2,
        "barre": 2,
        "holds": 2,
        "stretches": 3,
    }
    wanted = max(1, rng.randint(many[kind] - 1, many[kind] + 1 if kind in {"circuit", "superset"} else many[kind]))
    if kind in {"ladder", "minutes", "superset", "circuit"}:
        pool = [one for one in pool if one.sides != "yes" or kind == "superset"]
    if kind == "superset":
        wanted = rng.choice([2, 2, 3])
    if len(pool) < wanted:
        pool = [one for one in fitting if _suits(one, kind)]
        if len(pool) < wanted or not counted:
            return None
    block = Block(kind, rng.sample(pool, wanted))
    if kind == "superset":
        block.rounds = rng.choice([2, 2, 3])
    elif kind == "straight" and rng.random() < 0.25:
        block.exercises, block.rounds = block.exercises[:1], rng.choice([2, 3])
    elif kind == "circuit":
        block.rounds = rng.choice([1, 2, 2])
        block.work, block.off = rng.choice([(20, 10), (30, 15), (30, 10), (40, 20), (45, 15), (30, 30)])
    elif kind == "minutes":
        block.rounds = rng.choice([3, 4, 5])
    elif kind == "ladder":
        up = rng.choice([[2, 4, 6, 8], [4, 6, 8], [3, 6, 9], [5, 10], [5, 8, 10]])
        block.targets = rng.choice([up, up[::-1], up + up[-2::-1]])
    while estimate(block) > spare:
        if block.rounds > 2 or (block.rounds > 1 and kind not in {"superset", "minutes"}):
            block.rounds -= 1
        elif len(block.targets) > 3:
            block.targets = block.targets[:3]
        elif len(block.exercises) > 1 and kind != "superset":
            block.exercises.pop()
        else:
            break
    used |= {one.name for one in block.exercises}
    return block


def _suits(one: Exercise, kind: str) -> bool:
    if one.pattern in {"breathing", "locomotion"} or one.seconds[1] <= 0:
        return False
    if kind == "stretches":
        return one.unit in {"seconds", "breaths"} and one.pattern in {"stretch", "mobility", "balance"}
    if kind == "holds":
        return one.unit == "seconds" and one.seconds[0] >= 8 and one.position != "walking"
    if kind == "circuit":
        return one.unit == "reps" and one.seconds[0] <= 3
    return one.unit == "reps" and one.seconds[0] <= LONGEST_REP and one.seconds[1] <= 10
