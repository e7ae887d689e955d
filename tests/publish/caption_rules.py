"""What captions have to keep to, told apart from the code that cuts them.

The figures are from memory: the BBC Subtitle Guidelines (37 characters a line, two lines, 160 to 180 words a
minute) and the DCMP Captioning Key (two lines, breaks at phrase ends, about a second at least on screen). Seven
seconds at most and gaps of two frames are common practice.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

import jiwer
from text_to_num import alpha2digit

from pipeline.model import Record
from pipeline.publish.captions import Caption

NUMBER = (
    r"(?:\d+|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|sixteen|twenty|thirty|forty(?:-five)?)"
)
COUNTED = (
    r"(?:reps?|seconds?|minutes?|rounds?|kilos?|more|moves?|degrees|percent|dumbbells|presses|pulses|breaths|"
    r"exercises|supersets|intervals|left|to go|o'clock|of)"
)
UNIT = r"(?:reps|seconds|minutes|rounds|sets|degrees|percent|kilos)"


def broken_rules(record: Record, captions: Sequence[Caption]) -> list[str]:
    """Return what is wrong with the captions of a record, a line a fault, but what is listed as too fast."""
    return [
        *_cue_faults(captions),
        *_neighbour_faults(captions),
        *_break_faults(captions),
        *_word_faults(record, captions),
    ]


def _cue_faults(captions: Sequence[Caption]) -> Iterator[str]:
    for one in captions:
        seconds = round(one.end - one.start, 3)
        words = sum(len(line.split()) for line in one.lines) - one.lines[0].startswith("- ")
        if len(one.lines) > 2 or any(len(line) > 37 and len(line.removeprefix("- ").split()) > 1 for line in one.lines):
            yield f"{one.start}: lines {one.lines}"
        if seconds > 7:
            yield f"{one.start}: {seconds} s on screen"
        if (seconds < 1 or 60 * words / seconds > 180.001) and not one.too_fast:
            yield f"{one.start}: {words} words in {seconds} s"


def _neighbour_faults(captions: Sequence[Caption]) -> Iterator[str]:
    for one, after in pairwise(captions):
        gap = round(after.start - one.end, 3)
        if gap < 0 or 0 < gap < 2 / 25:
            yield f"{one.start}: {gap} s before the next"
        changed = after.speaker is not None and after.speaker != one.speaker
        if changed != after.lines[0].startswith("- "):
            yield f"{after.start}: {one.speaker} and then {after.speaker}: {after.lines[0]}"


def _break_faults(captions: Sequence[Caption]) -> Iterator[str]:
    texts = [line for one in captions for line in one.lines]
    for line, after in pairwise(texts):
        if re.search(rf"\b{NUMBER}\n{COUNTED}\b", f"{line}\n{after}", re.IGNORECASE):
            yield f"a number cut from its noun: {line} | {after}"


def _word_faults(record: Record, captions: Sequence[Caption]) -> Iterator[str]:
    spoken = " ".join(word.text for word in record.words)
    shown = " ".join(" ".join(one.lines).removeprefix("- ") for one in captions)
    if jiwer.wer(in_figures(spoken), in_figures(shown)) != 0:
        yield "words lost or changed"
    for found in re.finditer(rf"\b{NUMBER} {UNIT}\b", shown, re.IGNORECASE):
        if not found[0][0].isdigit():
            yield f"a count in words: {found[0]}"


def in_figures(text: str) -> str:
    """Return a text with all numbers as figures, by a library that is not ours, whatever they count.

    "Twenty one" is 20 and 1, so that it is the same however its words were joined.
    """
    words = [alpha2digit(word.rstrip("-"), "en", threshold=0) for word in text.split()]
    return re.sub(
        r"\b([1-9])([1-9])\b", lambda found: f"{found[1]}0 {found[2]}" if found[1] != "1" else found[0], " ".join(words)
    )
