"""The command as a shell runs it: a process of its own."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
COMMAND = (sys.executable, "-m", "pipeline.cli")


def run(*arguments: str | Path, stdin: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    return subprocess.run([*COMMAND, *map(str, arguments)], input=stdin, capture_output=True, cwd=ROOT)
