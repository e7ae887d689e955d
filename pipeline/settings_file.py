"""The audit's tolerances from a file: a YAML mapping from names in ``pipeline.audit.Settings`` to numbers."""

from __future__ import annotations

import math
from dataclasses import fields
from pathlib import Path
from typing import Any

from pipeline.audit import Settings
from pipeline.model import InputError

LARGEST = {"least_confidence": 1.0}
"""The most that a tolerance may be, where there is such a thing; none may be below 0."""


def read_settings(path: Path) -> Settings:
    """Return the tolerances of a file; those it does not name keep their usual values.

    Raises :class:`~pipeline.model.InputError`, which names the file, the line and the key.
    """
    lines, values = _parse(path)
    accepted = [one.name for one in fields(Settings)]
    for key, value in values.items():
        line = lines.get(key)
        if key not in accepted:
            problem = f"{key!r} is no tolerance of the audit"
            raise InputError(str(path), line, problem, f"one of {', '.join(accepted)}")
        _check_number(path, line, str(key), value)
    return Settings(**{key: float(value) for key, value in values.items()})


def _check_number(path: Path, line: int | None, key: str, value: Any) -> None:
    most = LARGEST.get(key, math.inf)
    wanted = "a number from 0 to 1" if most == 1 else "a number, 0 or above"
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise InputError(str(path), line, f"{key} is {value!r}, which is no number", wanted)
    if not 0 <= value <= most or math.isinf(value):
        raise InputError(str(path), line, f"{key} is {value}, which is out of range", wanted)


def _parse(path: Path) -> tuple[dict[Any, int], dict[Any, Any]]:
    """Return the line of each key, from 1, and its value."""
    import yaml

    wanted = "a YAML file with a line for each tolerance, such as 'hold_seconds: 3'"
    try:
        text = path.read_text(encoding="utf-8-sig")
        tree = yaml.compose(text, Loader=yaml.SafeLoader)
        values = yaml.safe_load(text)
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
    if tree is None:
        return {}, {}
    if not isinstance(tree, yaml.MappingNode):
        raise InputError(str(path), 1, "is not a mapping of names to numbers", wanted)
    lines: dict[Any, int] = {}
    for key, _ in tree.value:
        line = key.start_mark.line + 1
        if key.value in lines:
            problem = f"{key.value!r} stands already on line {lines[key.value]}"
            raise InputError(str(path), line, problem, "name each tolerance once")
        lines[key.value] = line
    return lines, values
