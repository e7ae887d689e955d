"""Time and memory of our whole run against a bare call of the recogniser with the same settings.

Each run is a program of its own, started turn about, so that neither finds the other's caches warm.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from statistics import median

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
        for name, (program, extra) in RUNS.items():
            command = [sys.executable, "-c", program + _REPORT, str(sound), *extra]
            done = subprocess.run(command, check=True, capture_output=True, text=True)
            taken[name].append(tuple(json.loads(done.stdout.splitlines()[-1])))
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
