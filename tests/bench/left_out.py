"""Weights fitted without the class that is scored, kept between runs.

A class that the weights were fitted on flatters them. Here every class is read with weights fitted on the
other classes alone. A fold takes minutes, so each is written as soon as it is fitted, and a run that was
broken off goes on where it stopped. A fold is fitted anew where the scripts, the fitting or the features have
changed; after a change of what is *heard* (``pipeline/mentions``, ``lexicon``) delete the folder to fit
afresh.
"""

from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Any

from pipeline.counting import chain
from tests.bench import fit
from tests.bench.corpus import CLASSES, HERE, GoldClass

if TYPE_CHECKING:
    from pipeline.counting.chain import ChainModel
    from tests.bench.fit import Lesson

FOLDER = HERE / "out" / "left_out"
#: What in ``pipeline/counting`` the chains are made and read with.
READINGS = "buckets chain count_ins decode hindsight neighbours phases restarts roles runs spans talk"
Models = dict[str, "ChainModel"]


def folds_of(names: Sequence[str], count: int | None = None) -> list[tuple[str, ...]]:
    """Return which classes are left out together: each alone, or dealt out into ``count`` folds."""
    if count is None:
        return [(name,) for name in names]
    return [tuple(names[i::count]) for i in range(min(count, len(names)))]


def models_without(
    folds: Sequence[tuple[str, ...]],
    classes: Sequence[GoldClass],
    rounds: int = fit.ROUNDS,
    folder: Path = FOLDER,
) -> dict[str, Models]:
    """Return for every class of the folds the chains fitted without its fold.

    ``classes`` are all that may be learnt from. How far it is, and the time left, go to standard error.
    """
    paths = {fold: folder / f"{'-'.join(fold)[:40]}-{_key(fold, classes, rounds)[:16]}.json" for fold in folds}
    missing = [fold for fold in folds if not paths[fold].exists()]
    lessons = _hear(classes) if missing else []
    begun = monotonic()
    for done, fold in enumerate(missing):
        weights = fit.fit([one for one in lessons if one.id not in fold], rounds)
        _write(paths[fold], weights)
        each = (monotonic() - begun) / (done + 1)
        left = each * (len(missing) - done - 1)
        print(
            f"fitted without {', '.join(fold)} ({done + 1} of {len(missing)}): {each:.0f} s each, "
            f"about {left / 60:.0f} min left",
            file=sys.stderr,
        )
    return {name: _read(paths[fold]) for fold in folds for name in fold}


def models_in(folder: Path) -> dict[str, Models]:
    """Return for every class that a fold of ``folder`` leaves out that fold's chains."""
    folds = {path: _read(path) for path in sorted(folder.rglob("*.json"))}
    return {name: models for path, models in folds.items() for name in path.stem.split("-")[:-1]}


def _hear(classes: Iterable[GoldClass]) -> list[Lesson]:
    """Return the lessons that shipped weights are fitted on: annotated classes and generated ones."""
    from pipeline.analyze import listener

    annotated = [fit.make_lesson(one, form, listener()) for one in classes for form in fit.FITTED_FORMS]
    return annotated + fit.generated_lessons(listener())


def _key(fold: tuple[str, ...], classes: Sequence[GoldClass], rounds: int) -> str:
    """Return the fingerprint of all that a fold's weights are made from."""
    digest = hashlib.sha256(f"{fold} {rounds}".encode())
    sources = [HERE / f"{name}.py" for name in ("fit", "chain_fit", "generate")]
    sources += [Path(chain.__file__).parent / f"{name}.py" for name in READINGS.split()]
    sources += sorted(path for path in (HERE / "generator").rglob("*") if path.suffix in {".py", ".yaml", ".txt"})
    for path in [*sources, *(CLASSES / f"{one.id}.class.txt" for one in classes)]:
        digest.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()


def _write(path: Path, weights: dict[str, Any]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    partial = path.with_suffix(".partial")
    partial.write_text(json.dumps(weights), "utf-8")
    partial.replace(path)


def _read(path: Path) -> Models:
    chains = json.loads(path.read_text("utf-8"))["chains"]
    return {name: chain.ChainModel.from_dict(one) for name, one in chains.items()}
