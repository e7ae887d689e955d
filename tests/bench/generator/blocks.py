"""How each kind of block is performed."""

from __future__ import annotations

from collections.abc import Callable

from tests.bench.generator import clocked_blocks, counted_blocks
from tests.bench.generator.performer import Performer
from tests.bench.generator.plan import Block

PERFORMERS: dict[str, Callable[[Performer, Block, str], None]] = {
    "straight": counted_blocks.straight,
    "superset": counted_blocks.superset,
    "ladder": counted_blocks.ladder,
    "minutes": counted_blocks.minutes,
    "barre": counted_blocks.barre,
    "circuit": clocked_blocks.circuit,
    "holds": clocked_blocks.holds,
    "stretches": clocked_blocks.stretches,
}


def perform(who: Performer, block: Block, place: str) -> None:
    """Perform a block; ``place`` is ``first``, ``last`` or empty."""
    PERFORMERS[block.kind](who, block, place)
