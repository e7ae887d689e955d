"""The command of a fit that learns from what weights of the counting make of classes that they have not seen."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar

Lesson = TypeVar("Lesson")


def run(
    description: str | None,
    read: Callable[[Path], Sequence[Lesson]],
    fit: Callable[[Sequence[Lesson]], dict[str, Any]],
    check: Callable[[Sequence[Lesson]], str],
    weights: Path,
) -> None:
    """Read the folder named on the command line; write ``weights`` or, with ``--check``, print how good they are."""
    parser = argparse.ArgumentParser(description=description.splitlines()[0] if description else None)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--check", action="store_true")
    options = parser.parse_args()
    lessons = read(options.folder)
    if options.check:
        print(check(lessons))
    else:
        weights.write_text(json.dumps(fit(lessons), indent=1) + "\n", "utf-8")
