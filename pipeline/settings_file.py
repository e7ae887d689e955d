"""The audit's tolerances from a file: a YAML mapping from names in ``pipeline.audit.Settings`` to numbers."""

from __future__ import annotations

import sys
from dataclasses import dataclass, fields
from pathlib import Path
from reprlib import repr as shown
from typing import Any

from pipeline.audit import Settings
from pipeline.model import InputError

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
    value: Any


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
    import yaml

    wanted = "a YAML file with a line for each tolerance, such as 'hold_seconds: 3'"
    try:
        loader = yaml.SafeLoader(path.read_text(encoding="utf-8-sig"))
        tree = loader.get_single_node()
        if tree is None:
            return []
        if not isinstance(tree, yaml.MappingNode):
            raise InputError(str(path), 1, "is not a mapping of names to numbers", wanted)
        return [
            _Entry(
                key.start_mark.line + 1,
                key.value if isinstance(key, yaml.ScalarNode) else "a list or a mapping",
                loader.construct_object(value, deep=True),
            )
            for key, value in tree.value
        ]
    except UnicodeDecodeError as error:
        raise InputError(str(path), None, "is not UTF-8 text", wanted) from error
    except OSError as error:
        raise InputError(str(path), None, f"cannot be read ({error.strerror or error})", wanted) from error
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        problem = getattr(error, "problem", None) or str(error).splitlines()[0]
        line = None if mark is None else mark.line + 1
        raise InputError(str(path), line, f"is not YAML ({problem})", wanted) from error
    except (ValueError, RecursionError) as error:
        raise InputError(str(path), None, f"cannot be read ({error})", wanted) from error
