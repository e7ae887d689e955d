"""Time and memory of our whole run against a bare call of the recogniser with the same settings.

Each run is a program of its own, started turn about, so that neither finds the other's caches warm.
"""

from __future__ import annotations

import json
import subprocess
import sys
import wave
from collections.abc import Sequence
from itertools import cycle
from pathlib import Path
from statistics import median

from pipeline.transcripts.recognition.audio import RATE

REPEATS = 3

_BARE = """
import json, resource, sys, time
begun = time.process_time()
from faster_whisper import WhisperModel
from pipeline.transcripts.recognition.models import resolve_model
from pipeline.transcripts.recognition.options import FIRST_LOOK
from pipeline.transcripts.recognition.speech import LEAST_SILENCE, PADDING
model = WhisperModel(str(resolve_model().folder), device="cpu", cpu_threads=1)
segments, _ = model.transcribe(sys.argv[1], language="en", word_timestamps=True, vad_filter=True,
    condition_on_previous_text=False, temperature=0.0, beam_size=FIRST_LOOK.beam_size,
    vad_parameters={"min_silence_duration_ms": round(LEAST_SILENCE * 1000),
                    "speech_pad_ms": round(PADDING * 1000)},
    initial_prompt=FIRST_LOOK.prompt)
words = [word for segment in segments for word in segment.words]
"""
_OURS = """
import json, resource, sys, time
begun = time.process_time()
import tempfile
from pathlib import Path
from pipeline.analyze import analyze
from pipeline.transcripts.sound import SoundOptions, second_look, transcribe
from pipeline.second_look import find_holes
path = Path(sys.argv[1])
with tempfile.TemporaryDirectory() as folder:
    options = SoundOptions(device="cpu", threads=1, cache=Path(folder))
    heard = transcribe(path, options)
    record = analyze(heard)
    if len(sys.argv) > 2:
        again = second_look(path, heard, find_holes(record), options)
        if again != heard:
            analyze(again)
"""
_REPORT = """
taken, peak = time.process_time() - begun, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(json.dumps([taken, peak]))
"""
RUNS = {"bare call": (_BARE, []), "ours": (_OURS, []), "ours, second look included": (_OURS, ["again"])}


def measure(sound: Path, repeats: int = REPEATS) -> str:
    """Return processor seconds, as multiples of the bare call, and peak memory (MB), medians, as a table."""
    taken: dict[str, list[tuple[float, float]]] = {name: [] for name in RUNS}
    for _ in range(repeats):
        for name in RUNS:
            taken[name].append(run_once(name, sound))
    bare = taken["bare call"]
    lines = [
        "| run | processor s | times the bare call | peak MB | MB over it |",
        "| --- | --- | --- | --- | --- |",
    ]
    for name, runs in taken.items():
        ratio = median(one[0] / other[0] for one, other in zip(runs, bare, strict=True))
        seconds, peak = (median(run[k] for run in runs) for k in (0, 1))
        over = peak - median(run[1] for run in bare)
        lines.append(f"| {name} | {seconds:.1f} | {ratio:.2f} | {peak:.0f} | {over:+.0f} |")
    return "\n".join(lines)


def run_once(name: str, sound: Path) -> tuple[float, float]:
    """Do one of :data:`RUNS` in a program of its own; return its processor seconds and peak memory in MB."""
    program, extra = RUNS[name]
    command = [sys.executable, "-c", program + _REPORT, str(sound), *extra]
    done = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
    seconds, peak = json.loads(done.stdout.splitlines()[-1])
    return seconds, peak


def join(parts: Sequence[Path], seconds: float, joined: Path) -> Path:
    """Write recordings (16 kHz, 16 bits, mono) one after the other, over and over, until there are so many seconds."""
    with wave.open(str(joined), "wb") as writer:
        writer.setnchannels(1)
        writer.setsampwidth(2)
        writer.setframerate(RATE)
        left = round(seconds * RATE)
        for part in cycle(parts):
            with wave.open(str(part)) as reader:
                writer.writeframes(reader.readframes(min(left, reader.getnframes())))
                left -= reader.getnframes()
            if left <= 0:
                return joined
    raise ValueError("no recordings to join")
