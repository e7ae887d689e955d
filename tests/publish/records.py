"""The records of the development classes and of the samples, as the pipeline makes them and as their gold has it.

``NAMES`` are what they are called: ``d01 captions`` is the first class read from its captions, ``d01 gold`` the
record that its annotation gives, ``samples/mat-core-holds.srt`` a file of the samples.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from pipeline.analyze import analyze
from pipeline.model import Record
from pipeline.transcripts import read
from tests.bench.corpus import CLASSES, FORMS, GoldClass, load_class
from tests.publish.example import example_record

SAMPLES = Path(__file__).parents[2] / "samples"
DEVELOPMENT = [f"d{number:02}" for number in range(1, 13)]
_READ = {".vtt", ".srt", ".csv", ".json"}
SAMPLE_NAMES = [
    f"samples/{path.name}"
    for path in sorted(SAMPLES.iterdir())
    if path.suffix in _READ or path.name.endswith(".stamped.md")
]
ANALYSED = [f"{name} {form}" for name in DEVELOPMENT for form in FORMS]
GOLD = [f"{name} gold" for name in DEVELOPMENT]
NAMES = [*ANALYSED, *GOLD, *SAMPLE_NAMES]


@cache
def record_of(name: str) -> Record:
    """Return the record of one of ``NAMES``."""
    if name.startswith("samples/"):
        return analyze(read(SAMPLES / name.removeprefix("samples/")))
    script, form = name.split()
    return example_record(script) if form == "gold" else analyze(_compiled(script).forms[form])


@cache
def _compiled(script: str) -> GoldClass:
    return load_class(CLASSES / f"{script}.class.txt")
