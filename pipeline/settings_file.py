"""The audit's tolerances from a file: a YAML mapping from names in ``pipeline.audit.Settings`` to numbers."""

from __future__ import annotations

import sys
from dataclasses import dataclass, fields
from pathlib import Path
from reprlib import repr as shown

from pipeline.audit import Settings
from pipeline.model import InputError
from pipeline.yaml_file import line_of, read_tree, value_of

WANTED = "a YAML file with a line for each tolerance, such as 'hold_seconds: 3'"

LARGEST = {"least_confidence": 1.0}
"""The most that a tolerance may be, where there is such a thing; none may be below 0."""


def read_settings(path: Path) -> Settings:
    """Return the tolerances of a file; those it does not name keep their usual values.

    Raises :class:`~pipeline.model.InputError`, which names the file, the line and the key.
    """
    accepted = [one.name for one in fields(Settings)]
    found: dict[str, _Entry] = {}
    for entry in _read_entries(path):
        if entry.key not in accepted:
            problem = f"{entry.key!r} is no tolerance of the audit"
            raise InputError(str(path), entry.line, problem, f"one of {', '.join(accepted)}")
        if entry.key in found:
            problem = f"{entry.key!r} stands already on line {found[entry.key].line}"
            raise InputError(str(path), entry.line, problem, "name each tolerance once")
        found[entry.key] = entry
    return Settings(**{key: _number(path, entry) for key, entry in found.items()})


@dataclass(frozen=True, slots=True)
class _Entry:
    """One ``key: value`` of the file; ``line`` counts from 1."""

    line: int
    key: str
    value: object


def _number(path: Path, entry: _Entry) -> float:
    most = LARGEST.get(entry.key, sys.float_info.max)
    wanted = f"a number from 0 to {most:g}" if entry.key in LARGEST else "a number, 0 or above"
    value = entry.value
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        problem = f"{entry.key} is {shown(value)}, which is no number"
        raise InputError(str(path), entry.line, problem, wanted)
    if not 0 <= value <= most:
        problem = f"{entry.key} is {shown(value)}, which is out of range"
        raise InputError(str(path), entry.line, problem, wanted)
    return float(value)


def _read_entries(path: Path) -> list[_Entry]:
    from yaml import MappingNode, ScalarNode

    tree = read_tree(path, WANTED)
    if tree is None:
        return []
    if not isinstance(tree, MappingNode):
        raise InputError(str(path), 1, "is not a mapping of names to numbers", WANTED)
    return [
        _Entry(
            line_of(key),
            key.value if isinstance(key, ScalarNode) else "a list or a mapping",
            value_of(value, path, WANTED),
        )
        for key, value in tree.value
    ]
