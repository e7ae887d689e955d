"""The annotated classes as transcripts with gold beside them: for the benchmark and for fitting weights."""

from __future__ import annotations

import importlib.util
import json
import sys
import tempfile
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import ModuleType
from typing import Any

from pipeline.model import Transcript

HERE = Path(__file__).parent
CLASSES = HERE / "classes"
#: Classes that no weights are fitted on, written by somebody who had not seen the code.
HELD_BACK = HERE / "held_back"
FORMS = {"captions": "{}.vtt", "words": "{}.words.json", "stamped": "{}.stamped.md"}


@lru_cache
def bench_module(name: str) -> ModuleType:
    """Load ``compile`` or ``score``, which are scripts whose names are not fit to import."""
    spec = importlib.util.spec_from_file_location(f"bench_{name}", HERE / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@dataclass(frozen=True)
class GoldWord:
    """A spoken word: its role and ``n`` where it carries a number tag, the index of its set and chapter."""

    text: str
    start: float
    end: float
    role: str | None
    n: float | None
    line: int


@dataclass(frozen=True)
class GoldClass:
    """One annotated class: its words, and the gold record as ``compile.py`` writes it."""

    id: str
    words: tuple[GoldWord, ...]
    gold: dict[str, Any]
    forms: dict[str, Transcript]


def load_class(script: Path) -> GoldClass:
    """Compile a script and read every form of it back through the project's own readers."""
    from pipeline.transcripts import read

    compiler = bench_module("compile")
    parsed = compiler.parse(script)
    words = tuple(
        GoldWord(w["text"], w["start"], w["end"], w.get("role"), w.get("n"), i)
        for i, line in enumerate(parsed.lines)
        for w in line.words
    )
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder)
        compiler.write(parsed, out)
        name = parsed.meta["id"]
        gold = json.loads((out / f"{name}.gold.json").read_text("utf-8"))
        forms = {form: read(out / pattern.format(name)) for form, pattern in FORMS.items()}
    for form, transcript in forms.items():
        if [w.text for w in transcript.words] != [w.text for w in words]:
            raise ValueError(f"{name}: the {form} form does not give the script's words back")
    return GoldClass(name, words, gold, forms)


def load_classes(names: list[str] | None = None, folder: Path = CLASSES) -> list[GoldClass]:
    """Load the annotated classes of a folder (all, or those named), in order of name."""
    scripts = sorted(folder.glob("*.class.txt"))
    wanted = [s for s in scripts if names is None or s.name.split(".")[0] in names]
    return [load_class(script) for script in wanted]
