"""How fast a class is read, held against spaCy's blank tokenizer and TextTiling, and in how much memory.

All three read the same words, turn about in one run. Speed is the machine's; the ratios are not.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import TYPE_CHECKING, Any

from pipeline.model import Transcript
from tests.bench.baselines import texttiling_starts
from tests.bench.corpus import CLASSES, bench_module

if TYPE_CHECKING:
    from pipeline.counting.chain import ChainModel

REPEATS = 5
TOOL, TOKENIZER, TEXTTILING = "analyze", "spaCy tokenizer", "TextTiling"
KIB_A_MB = 1024

#: ``ru_maxrss`` of a program started from a large one begins at the large one's size (Linux keeps it over
#: exec), so a small program stands between and asks for the size of its own child.
_BETWEEN = """
import resource, subprocess, sys
subprocess.run(sys.argv[1:], check=True)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
"""
_ONE_CLASS = """
import sys
from pathlib import Path
from pipeline.analyze import analyze
from pipeline.transcripts import read
analyze(read(Path(sys.argv[1])))
"""


def measure_speed(
    transcripts: Sequence[Transcript], models: Mapping[str, ChainModel] | None = None, repeats: int = REPEATS
) -> dict[str, float]:
    """Return seconds of class read in a second by each, and the tool's time as a multiple of the other two's.

    Medians of ``repeats`` runs over all transcripts, after one run that warms caches.
    """
    import spacy

    from pipeline.analyze import analyze

    tokenizer = spacy.blank("en").tokenizer
    texts = {id(one): one.text((0, len(one.words))) for one in transcripts}
    tasks: dict[str, Callable[[Transcript], Any]] = {
        TOOL: lambda one: analyze(one, models=models),
        TOKENIZER: lambda one: tokenizer(texts[id(one)]),
        TEXTTILING: texttiling_starts,
    }
    taken: dict[str, list[float]] = {name: [] for name in tasks}
    for turn in range(repeats + 1):
        for name, task in tasks.items():
            begun = perf_counter()
            for one in transcripts:
                task(one)
            if turn:
                taken[name].append(perf_counter() - begun)
    heard = sum(one.source.duration for one in transcripts)
    out = {f"class seconds a second, {name}": heard / median(times) for name, times in taken.items()}
    for name in (TOKENIZER, TEXTTILING):
        ratios = [a / b for a, b in zip(taken[TOOL], taken[name], strict=True)]
        out[f"time as a multiple of {name}"] = median(ratios)
    return out


def peak_memory(name: str) -> float:
    """Return the most memory (MB) that a fresh program takes to read and analyse the captions of a class."""
    compiler = bench_module("compile")
    with tempfile.TemporaryDirectory() as folder:
        script = compiler.parse(CLASSES / f"{name}.class.txt")
        compiler.write(script, Path(folder))
        captions = Path(folder) / f"{name}.vtt"
        command = [sys.executable, "-c", _BETWEEN, sys.executable, "-c", _ONE_CLASS, str(captions)]
        result = subprocess.run(command, check=True, capture_output=True, text=True)
    return int(result.stdout) / KIB_A_MB
