"""Ways to recognise, to be compared: the recogniser's defaults, ours, ours with one thing done otherwise."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import ExitStack
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from time import process_time
from typing import Any
from unittest.mock import patch

from pipeline.model import Word
from pipeline.transcripts.counts import VALUES
from pipeline.transcripts.recognition import hear, misheard, speech, windows
from pipeline.transcripts.recognition import recognize as recognizing
from pipeline.transcripts.recognition.audio import open_recording
from pipeline.transcripts.recognition.models import load_model, resolve_model
from pipeline.transcripts.recognition.options import FIRST_LOOK, SoundOptions
from tests.bench.corpus import CLASSES, bench_module

SLACK = (0.6, 0.9)
"""Seconds before and after a spoken line within which its numbers are looked for: the scorer's own slack, and
more at the end, as the synthesiser is now and then slower than the script."""

Change = tuple[Any, str, Any]
CHOICES: Mapping[str, Mapping[str, Any] | list[Change]] = {
    "recogniser's defaults": {},
    "defaults, voice activity detection": {"vad_filter": True},
    "defaults, not conditioned": {"condition_on_previous_text": False},
    "ours": [],
    "ours, nothing put right": [(misheard, "SOUNDS_LIKE", {})],
    "ours, no prompt": [(recognizing, "reading", replace(FIRST_LOOK, prompt=""))],
    "ours, window by window": [(hear, "TOGETHER", 1)],
    "ours, beam 1": [(recognizing, "reading", replace(FIRST_LOOK, beam_size=1))],
    "ours, without timestamps": [(recognizing, "reading", replace(FIRST_LOOK, without_timestamps=True))],
    "ours, prompt of bare numbers": [
        (
            recognizing,
            "reading",
            replace(FIRST_LOOK, prompt="One. Two. Three. Four. Five. Six. Seven. Eight."),
        )
    ],
    "ours, exercises in the prompt": [
        (
            recognizing,
            "reading",
            replace(
                FIRST_LOOK,
                prompt="Dumbbell squats, kettlebell deadlifts, single-arm rows, push-ups, curls, planks and bridges. "
                + FIRST_LOOK.prompt,
            ),
        )
    ],
    "ours, padding 0.2 s": [(speech, "PADDING", 0.2)],
    "ours, silence 0.3 s, padding 0.25 s": [(speech, "LEAST_SILENCE", 0.3), (speech, "PADDING", 0.25)],
    "ours, silence 1 s, padding 0.8 s": [(speech, "LEAST_SILENCE", 1.0), (speech, "PADDING", 0.8)],
    "ours, speech from 0.3": [(speech, "SPEECH", 0.3), (speech, "STILL_SPEECH", 0.2)],
    "ours, windows of 15 s": [(windows, "LONGEST", 15.0), (speech, "LONGEST", 15.0), (speech, "CUT_FROM", 7.0)],
    "ours, numbers in 8 bits": [(recognizing, "compute_type", "int8")],
}


@dataclass(frozen=True)
class Tally:
    """Sums over stretches: reps called and found, words and errors, names said and found."""

    reps: int = 0
    found: int = 0
    words: int = 0
    errors: int = 0
    invented: int = 0
    names: int = 0
    named: int = 0
    seconds: float = 0.0

    def __add__(self, other: Tally) -> Tally:
        return Tally(*(getattr(self, name) + getattr(other, name) for name in self.__dataclass_fields__))

    def row(self) -> str:
        """Return the figures as cells: count recall, word error rate, words invented, names found, processor s."""
        recall, errors = self.found / self.reps, self.errors / self.words
        found, named = f"{self.found}/{self.reps} = {recall:.3f}", f"{self.named}/{self.names}"
        return f"{found} | {errors:.3f} | {self.invented} | {named} | {self.seconds:.0f}"


def tally_choice(choice: str, name: str, stretch: tuple[int, int], sound: Path) -> Tally:
    """Recognise a stretch of a class in one way, and hold it against the script."""
    begun = process_time()
    words = list(_recognize(choice, sound))
    seconds = process_time() - begun
    lines = [
        line
        for line in bench_module("compile").parse(CLASSES / f"{name}.class.txt").lines
        if stretch[0] <= line.start < stretch[1]
    ]
    heard = [(number, word.start + stretch[0]) for word in words for number in numbers(word.text)]
    reps = found = 0
    for line in lines:
        for word in line.words:
            if word.get("role") != "rep":
                continue
            reps += 1
            hit = next(
                (
                    each
                    for each in heard
                    if each[0] == word["n"] and line.start - SLACK[0] <= each[1] <= line.end + SLACK[1]
                ),
                None,
            )
            if hit is not None:
                found += 1
                heard.remove(hit)
    said = plain(" ".join(line.text for line in lines))
    text = plain(" ".join(word.text for word in words))
    return Tally(reps, found, *_errors(said, text), *_names(said, text), seconds)


def numbers(text: str) -> list[int]:
    """Return the numbers in what the recogniser writes as one word ("3", "1-2-3", "twenty-one,")."""
    bare = re.sub(r"[^a-z0-9-]", " ", text.lower()).strip(" -")
    if bare in VALUES:
        return [VALUES[bare]]
    parts = re.split(r"[\s-]+", bare)
    return [int(p) if p.isdecimal() else VALUES[p] for p in parts if p.isdecimal() or p in VALUES]


def plain(text: str) -> str:
    """Return lower-case words without punctuation, figures below a hundred spelt out."""
    spelt = {value: word for word, value in reversed(VALUES.items())}
    words = []
    for part in re.split(r"[\s\-–—/]+", text.lower().replace("’", "'")):
        word = re.sub(r"[^a-z0-9']", "", part)
        if word.isdecimal() and int(word) in spelt:
            word = spelt[int(word)].replace("-", " ")
        if word:
            words.append(word)
    return " ".join(words)


def _recognize(choice: str, sound: Path) -> Iterator[Word]:
    settings = CHOICES[choice]
    if not isinstance(settings, list):
        segments, _ = _model("default").transcribe(str(sound), language="en", word_timestamps=True, **settings)
        for segment in segments:
            for word in segment.words or ():
                yield Word(word.word.strip(), word.start, word.end, probability=word.probability)
        return
    reading, compute_type = FIRST_LOOK, "default"
    with ExitStack() as changes:
        for module, what, value in settings:
            if what == "reading":
                reading = value
            elif what == "compute_type":
                compute_type = value
            else:
                changes.enter_context(patch.object(module, what, value))
        blocks = open_recording(sound).blocks(speech.BLOCK)
        model = _model(compute_type)
        words = [
            word
            for some in hear.together(windows.pack(speech.listen(blocks)))
            for word in recognizing.recognize(model, some, reading)
        ]
        yield from misheard.put_right(words)[0]


@cache
def _model(compute_type: str) -> Any:
    return load_model(resolve_model(), SoundOptions(device="cpu", threads=1, compute_type=compute_type))


def _errors(said: str, text: str) -> tuple[int, int, int]:
    import jiwer

    result = jiwer.process_words(said, text)
    words = result.hits + result.substitutions + result.deletions
    return words, result.substitutions + result.deletions + result.insertions, result.insertions


def _names(said: str, text: str) -> tuple[int, int]:
    """Count the names of the lexicon that are said in the script, and those of them heard as often."""
    heard, spoken = f" {text} ", f" {said} "
    times = [(spoken.count(f" {name} "), heard.count(f" {name} ")) for name in _all_names()]
    return sum(a for a, _ in times), sum(min(a, b) for a, b in times)


@cache
def _all_names() -> tuple[str, ...]:
    from lexicon import load

    exercises = load(None).exercises.values()
    return tuple(sorted({plain(name) for one in exercises for name in (one.name, *one.other_names)}))
