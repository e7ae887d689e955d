"""Score the way from sound: annotated classes spoken aloud, recognised by the small offline model, analysed.

    python -m tests.bench.sound choices [--classes d04,d07] [--only TEXT]
    python -m tests.bench.sound classes [--classes d01,d02] [--beds bed,none] [--weights FOLDER]
    python -m tests.bench.sound speed [--classes d04] [--repeats 3]
    python -m tests.bench.sound kills [--classes d04] [--repeats 10]
    python -m tests.bench.sound long [--hours 2]
    python -m tests.bench.sound levels

``choices`` compares ways to recognise over stretches of a few classes, ``classes`` scores whole records with
and without a music bed, ``speed`` times us against a bare call of the recogniser, ``kills`` ends runs at random
moments and starts them again, ``long`` measures memory over two hours, ``levels`` asks whether loudness tells where
something begins. Spoken classes and recognised words are
kept in ``tests/bench/out/sound``, so that a run that was stopped goes on where it was, and classes that were
recognised are only analysed and scored. ``--weights`` reads each class with the weights in that folder that were
fitted without it (``left_out.py`` writes them to ``tests/bench/out/left_out``), as the shipped ones know it.
The figures and what was chosen by them are in ``SOUND.md``. Needs the program ``flite``.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tests.bench.corpus import CLASSES, HERE, bench_module, load_class
from tests.bench.sound_choices import CHOICES, Tally, tally_choice
from tests.bench.sound_kills import kill_and_go_on
from tests.bench.sound_levels import cues, rows
from tests.bench.sound_speed import REPEATS, join, measure, run_once
from tests.bench.sound_times import reps_as_spoken
from tests.bench.table import summarise, table

if TYPE_CHECKING:
    from pipeline.counting.chain import ChainModel

OUT = HERE / "out" / "sound"
BED = 18.0
"""Decibels that the music lies under the speech."""

BEDS = ("bed", "none")
HOURS = 2.0
KILLS = 10
LOOKS = ("first look", "second look", "second look, reps timed as spoken")

STRETCHES = {"d01": (60, 210), "d04": (180, 330), "d07": (60, 210), "d11": (240, 390)}
"""Seconds of classes of four kinds, in which the most reps are called: what choices are compared on."""


def spoken(name: str, bed: bool, stretch: tuple[int, int] | None = None) -> Path:
    """Return a recording of a class, or of a stretch of it; it is spoken where it is not there yet."""
    cut = f".{stretch[0]}-{stretch[1]}" if stretch else ""
    path = OUT / f"{name}{cut}{'.bed' if bed else ''}.wav"
    if path.exists():
        return path
    OUT.mkdir(parents=True, exist_ok=True)
    staging = path.with_suffix(".part")
    command = [sys.executable, str(HERE / "speak.py"), str(CLASSES / f"{name}.class.txt"), str(staging)]
    if stretch:
        command += ["--from", str(stretch[0]), "--to", str(stretch[1])]
    if bed:
        command += ["--bed", str(BED)]
    subprocess.run(command, check=True)
    return staging.rename(path)


def score_choices(names: Sequence[str], only: str) -> None:
    """Print count recall, word error rate and exercise names found, a line a choice."""
    for choice in CHOICES:
        if only not in choice:
            continue
        for bed in (False, True):
            tally = Tally()
            for name in names:
                tally += tally_choice(choice, name, STRETCHES[name], spoken(name, bed, STRETCHES[name]))
            print(f"| {choice} | {'music' if bed else 'none'} | {tally.row()} |", flush=True)


def score_classes(names: Sequence[str], beds: Sequence[str], weights: Path | None) -> None:
    """Print the scorer's figures of whole classes, with the bed and without it: after one look, after two, and after
    two against gold whose reps are timed as the synthesiser says them.

    ``weights`` is a folder with weights fitted without each class; ``None`` is for the shipped weights.
    """
    from pipeline.analyze import analyze
    from pipeline.second_look import find_holes
    from pipeline.transcripts.sound import SoundOptions, second_look, transcribe

    scorer = bench_module("score")
    options = SoundOptions(threads=1, cache=OUT / "cache")
    classes = [load_class(CLASSES / f"{name}.class.txt") for name in names]
    as_spoken = {one.id: reps_as_spoken(one) for one in classes}
    for bed in (kind == BEDS[0] for kind in beds):
        tallies: dict[str, dict[str, Counter[str]]] = {look: {} for look in LOOKS}
        misses: list[str] = []
        for one in classes:
            path = spoken(one.id, bed)
            first = transcribe(path, options)
            models = None if weights is None else weights_without(one.id, weights)
            record = analyze(first, models=models)
            again = analyze(second_look(path, first, find_holes(record), options), models=models)
            pairs = ((one.gold, record), (one.gold, again), (as_spoken[one.id], again))
            for look, (gold, result) in zip(LOOKS, pairs, strict=True):
                tallies[look][one.id] = Counter()
                scorer.score(gold, result.to_dict(), tallies[look][one.id], misses)
            gain = "changes the record" if again != record else "changes nothing"
            print(
                f"{one.id} {'with' if bed else 'without'} bed done, the second look {gain}", file=sys.stderr, flush=True
            )
        for look, tally in tallies.items():
            print(
                table(f"{look}, {'bed at 18 dB' if bed else 'no bed'}", summarise(tally)),
                end="\n\n",
                flush=True,
            )


def weights_without(name: str, folder: Path) -> Mapping[str, ChainModel]:
    """Return the weights that were fitted without a class; a file is named for the classes that it does not know."""
    from pipeline.counting.chain import load_models

    (path,) = (path for path in folder.glob("*.json") if name in path.stem.split("-")[:-1])
    return load_models(path)


def measure_long(names: Sequence[str], hours: float) -> None:
    """Print time and peak memory of some hours of classes on end, and of the first of them alone."""
    parts = [spoken(name, bed=True) for name in names]
    joined = join(parts, hours * 3600, OUT / "hours.bed.wav")
    for sound in (parts[0], joined):
        seconds, peak = run_once("ours, second look included", sound)
        print(f"{sound.name}: {seconds:.0f} processor s, peak {peak:.0f} MB", flush=True)


def measure_levels(names: Sequence[str], beds: Sequence[str]) -> None:
    """Print, with the bed and without it, how well loudness and pauses tell the starts of chapters and sets."""
    from pipeline.analyze import listener
    from pipeline.transcripts.sound import SoundOptions, transcribe

    options = SoundOptions(threads=1, cache=OUT / "cache")
    for kind in beds:
        found = []
        for name in names:
            sound = spoken(name, kind == BEDS[0])
            mentions = listener().hear(transcribe(sound, options))
            found.append(cues(load_class(CLASSES / f"{name}.class.txt"), mentions, sound))
        for row in rows(found):
            print(f"| {kind} {row}", flush=True)


def main() -> int:
    """Run the part asked for; return 0."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.sound", description=__doc__.splitlines()[0])
    parser.add_argument("part", choices=["choices", "classes", "speed", "kills", "long", "levels"])
    parser.add_argument("--classes", help="ids, with commas between them")
    parser.add_argument("--only", default="", help="of the choices, those whose name holds this text")
    parser.add_argument("--beds", default=",".join(BEDS), help="bed, none, or both")
    parser.add_argument("--weights", type=Path, help="folder of weights fitted without each class")
    parser.add_argument("--hours", type=float, default=HOURS, help="of the long recording")
    parser.add_argument("--repeats", type=int, help="runs of each kind, or kills")
    options = parser.parse_args()
    asked = options.classes.split(",") if options.classes else None
    everything = [f"d{number:02}" for number in range(1, 13)]
    if options.part == "choices":
        score_choices(asked or list(STRETCHES), options.only)
    elif options.part == "classes":
        score_classes(asked or everything, options.beds.split(","), options.weights)
    elif options.part == "levels":
        measure_levels(asked or everything, options.beds.split(","))
    elif options.part == "long":
        measure_long(asked or everything, options.hours)
    else:
        for name in asked or ["d04"]:
            if options.part == "speed":
                print(measure(spoken(name, bed=True), options.repeats or REPEATS))
                continue
            for line in kill_and_go_on(spoken(name, True, STRETCHES[name]), options.repeats or KILLS):
                print(line, flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
