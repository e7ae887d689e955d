"""When the synthesiser says each called rep: the script spreads the words of a line evenly, and a voice does not.

"Seven, and eight." over four seconds of a script is said within one. So gold reps also come with the times at which
``flite`` says them, by its own phonemes; both figures are given, and the script's is the one that counts.
"""

from __future__ import annotations

import re
import subprocess
import tempfile
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Any

from tests.bench.corpus import CLASSES, GoldClass, bench_module

PAUSE = "pau"
LINES_A_VOICE = 9
"""Of the script, before the other voice takes over, as ``speak.py`` has it."""


def reps_as_spoken(one: GoldClass) -> dict[str, Any]:
    """Return the gold record of a class, the times of its called reps as the synthesiser says them."""
    speaker = bench_module("speak")
    lines = bench_module("compile").parse(CLASSES / f"{one.id}.class.txt").lines
    times: dict[tuple[float, str], float] = {}
    for index, line in enumerate(lines):
        room = (lines[index + 1].start if index + 1 < len(lines) else line.end + 5) - line.start
        for place, word in enumerate(line.words):
            if word.get("role") == "rep" and place:
                voice = speaker.VOICES[(index // LINES_A_VOICE) % len(speaker.VOICES)]
                said = line.start + _said_after([each["text"] for each in line.words], place, voice, room)
                times[round(word["start"], 3), word["text"]] = said
    numbers = [
        {**number, "time": times.get((round(number["time"], 3), number["text"]), number["time"])}
        for number in one.gold["numbers"]
    ]
    return {**one.gold, "numbers": numbers}


def _said_after(words: list[str], place: int, voice: str, room: float) -> float:
    """Return how many seconds after the line's start a word is said, from the phonemes of the line up to it."""
    text = " ".join(words)
    before = sum(phone != PAUSE for phone, _ in _phones(" ".join(words[:place]), voice, 1.0))
    phones = _phones(text, voice, _stretch(text, voice, room))
    spoken = 0
    for (_, end), (phone, _) in pairwise(phones):
        if phone != PAUSE:
            if spoken == before:
                return end
            spoken += 1
    return phones[-1][1]


@lru_cache(maxsize=4096)
def _phones(text: str, voice: str, stretch: float) -> list[tuple[str, float]]:
    command = ["flite", "-voice", voice, "--setf", f"duration_stretch={stretch:.2f}", "-psdur", "-t", text, "none"]
    said = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    return [(phone, float(end)) for phone, end in re.findall(r"(\S+):([\d.]+)", said)]


@lru_cache(maxsize=4096)
def _stretch(text: str, voice: str, room: float) -> float:
    speaker = bench_module("speak")
    with tempfile.TemporaryDirectory() as folder:
        seconds = len(speaker.say(text, voice, 1.0, Path(folder))) / speaker.RATE
    return 1.0 if seconds <= room - 0.1 else max(0.6, (room - 0.1) / seconds)
