"""The run sheet: its nouns, and how it is read from YAML. ``README.md`` describes the file."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from reprlib import repr as shown
from typing import TYPE_CHECKING, Literal, TypeVar, cast

from pipeline.model import InputError, Unit
from pipeline.yaml_file import line_of, read_tree

if TYPE_CHECKING:
    from yaml import Node

Sides = Literal["both", "left", "right"]
_Item = TypeVar("_Item")

WANTED = "a YAML file with 'blocks:' and a list of blocks"

MOST = 1000
"""The largest number of rounds, sets, reps or seconds of tempo that is taken for meant; by judgement."""

MOST_SECONDS = 3600


@dataclass(frozen=True, slots=True)
class PlannedExercise:
    """An exercise of a block: ``sets`` in each round, each of ``amount`` in ``unit``; ``None`` is not said.

    ``line`` is where it stands in the sheet, from 1.
    """

    name: str
    line: int
    sets: int | None = None
    amount: int | None = None
    unit: Unit | None = None
    tempo: tuple[float, ...] | None = None
    sides: Sides | None = None


@dataclass(frozen=True, slots=True)
class PlannedBlock:
    """A block that goes round ``rounds`` times."""

    exercises: tuple[PlannedExercise, ...]
    name: str = ""
    rounds: int = 1


@dataclass(frozen=True, slots=True)
class Plan:
    """A whole run sheet."""

    blocks: tuple[PlannedBlock, ...]
    title: str | None = None


def read_plan(path: Path) -> Plan:
    """Return a run sheet; raise :class:`~pipeline.model.InputError`, naming the line, where it is none."""
    tree = read_tree(path, WANTED)
    if tree is None:
        raise InputError(str(path), None, "is empty", WANTED)
    sheet = _Sheet(str(path))
    top = sheet.mapping(tree, ("title", "blocks"), "the sheet")
    blocks = sheet.items(sheet.needed(top, "blocks", "the sheet"), "blocks", sheet.block)
    title = top.get("title")
    return Plan(blocks, None if title is None else sheet.text(title, "title"))


class _Sheet:
    """Reads the nodes of one file, and says where something is wrong."""

    def __init__(self, file: str) -> None:
        self.file = file

    def block(self, node: Node) -> PlannedBlock:
        keys = self.mapping(node, ("name", "rounds", "exercises"), "a block")
        exercises = self.items(self.needed(keys, "exercises", "a block", node), "exercises", self.exercise)
        name = self.text(keys["name"], "name") if "name" in keys else ""
        return PlannedBlock(exercises, name, self.number(keys, "rounds", MOST) or 1)

    def exercise(self, node: Node) -> PlannedExercise:
        known = ("exercise", "sets", "reps", "seconds", "tempo", "sides")
        keys = self.mapping(node, known, "an exercise")
        name = self.text(self.needed(keys, "exercise", "an exercise", node), "exercise")
        if "reps" in keys and "seconds" in keys:
            raise self.wrong(keys["seconds"], f"{name} has reps and seconds", "one of the two")
        reps, seconds = self.number(keys, "reps", MOST), self.number(keys, "seconds", MOST_SECONDS)
        unit: Unit | None = "reps" if reps else "seconds" if seconds else None
        return PlannedExercise(
            name,
            line_of(node),
            self.number(keys, "sets", MOST),
            reps or seconds,
            unit,
            self.tempo(keys["tempo"]) if "tempo" in keys else None,
            self.sides(keys["sides"]) if "sides" in keys else None,
        )

    def tempo(self, node: Node) -> tuple[float, ...]:
        wanted = "seconds with hyphens between them, such as 3-1-1"
        text = self.text(node, "tempo")
        if not re.fullmatch(r"\d+(\.\d+)?(\s*-\s*\d+(\.\d+)?)+", text):
            raise self.wrong(node, f"tempo is {shown(text)}", wanted)
        return tuple(float(beat) for beat in text.split("-"))

    def sides(self, node: Node) -> Sides:
        text = self.text(node, "sides")
        if text not in {"both", "left", "right"}:
            raise self.wrong(node, f"sides is {shown(text)}", "both, left or right")
        return cast(Sides, text)

    def number(self, keys: Mapping[str, Node], key: str, most: int) -> int | None:
        if key not in keys:
            return None
        text = self.text(keys[key], key)
        if not re.fullmatch(r"[0-9]{1,6}", text) or not 1 <= int(text) <= most:
            raise self.wrong(keys[key], f"{key} is {shown(text)}", f"a whole number from 1 to {most}")
        return int(text)

    def text(self, node: Node, key: str) -> str:
        from yaml import ScalarNode

        if not isinstance(node, ScalarNode) or not node.value.strip():
            raise self.wrong(node, f"{key} has no value of its own", "a word or a number after the colon")
        return " ".join(node.value.split())

    def items(self, node: Node, key: str, read: Callable[[Node], _Item]) -> tuple[_Item, ...]:
        from yaml import SequenceNode

        if not isinstance(node, SequenceNode) or not node.value:
            raise self.wrong(node, f"'{key}:' has no list below it", "a list, each item after a hyphen")
        return tuple(read(one) for one in node.value)

    def needed(self, keys: Mapping[str, Node], key: str, of: str, node: Node | None = None) -> Node:
        if key not in keys:
            line = line_of(node) if node else None
            raise InputError(self.file, line, f"{of} has no '{key}:'", f"each needs '{key}:'")
        return keys[key]

    def mapping(self, node: Node, known: tuple[str, ...], of: str) -> dict[str, Node]:
        from yaml import MappingNode, ScalarNode

        wanted = f"known keys: {', '.join(known)}"
        if not isinstance(node, MappingNode):
            raise self.wrong(node, f"{of} is not written as keys and values", wanted)
        found: dict[str, Node] = {}
        for key, value in node.value:
            name = key.value if isinstance(key, ScalarNode) else "a list or a mapping"
            if name not in known:
                raise self.wrong(key, f"{of} has a key {shown(name)}", wanted)
            if name in found:
                raise self.wrong(key, f"{of} has '{name}' twice", "name each key once")
            found[name] = value
        return found

    def wrong(self, node: Node, problem: str, remedy: str) -> InputError:
        return InputError(self.file, line_of(node), problem, remedy)
