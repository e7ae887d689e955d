"""The easier and the harder ways that were offered, told from all else that sounds like an offer.

The record's cues of kind "option" are whatever leaves a choice, "you can hear the rain" among them. An option to
publish also says which way it goes. It either names itself ("easier version, knees down", "bottom knee down is
easier"), or leaves a choice ("if", "can", "fine", "instead") between words of one way or the other ("knees",
"smaller", "the wall"; "higher", "more"). The words are common practice in classes, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from pipeline.model import Cue, Record
from pipeline.publish.webvtt_file import one_line

EASIER, HARDER = "easier", "harder"

_WAY = r"(?:version|option|one|road|way|variation)s?"
_NAMED = {
    EASIER: re.compile(
        rf"^\W*easier\b(?! than)|\b(?:easy|easier|kinder|gentler|softer|low|lower|sleepy) {_WAY}\b"
        r"|\b(?:is|it's|that's) (?:easier|kinder|gentler|softer)\b|\bregression\b|\bif\b.*\binstead\b(?! of)"
    ),
    HARDER: re.compile(
        rf"^\W*harder\b|\beasier\b.*\bharder\b|\b(?:hard|harder|full|fuller|higher|tougher) {_WAY}\b"
        r"|\b(?:is|it's|that's) (?:harder|tougher)\b|\bprogression\b"
    ),
}
_CHOICE = re.compile(r"\b(?:if|can|could|may|fine|ok|okay|option|prefer|rather|swap|instead(?! of))\b")
_LEANING = {
    EASIER: re.compile(
        r"\b(?:easier|kinder|gentler|softer|lighter|slower|shorter|smaller|small|less|knees?|chair|wall|cushion|sit"
        r"|step(?:ping)?|walk|rest|drop|puffed|no (?:bell|weight|hop|jump)s?|grumbl\w+|mutter\w*|complain\w*)\b"
    ),
    HARDER: re.compile(r"\b(?:higher|deeper|heavier|longer|want more|like more|full)\b"),
}
# What a class needs, and what other classes will bring, is no offer in this one.
_NO_OFFER = re.compile(r"\byou(?:'ll| will)? (?:need|want) an?\b|\bclass\b|\bnext (?:time|week)\b")


@dataclass(frozen=True, slots=True)
class OfferedOption:
    """An option as it was said, when (seconds), and which ways it goes: easier, harder or both."""

    time: float
    ways: tuple[str, ...]
    text: str


def offered_options(record: Record) -> tuple[OfferedOption, ...]:
    """Return the easier and harder options of a class in order of time."""
    cues = sorted((cue for cue in record.cues if cue.kind == "option"), key=lambda cue: cue.time)
    return tuple(OfferedOption(cue.time, ways, one_line(cue.text)) for cue in cues if (ways := _ways(cue)))


def _ways(cue: Cue) -> tuple[str, ...]:
    text = one_line(cue.text).lower().replace("’", "'")
    if _NO_OFFER.search(text):
        return ()
    leaves_choice = _CHOICE.search(text) is not None
    return tuple(
        way for way in (EASIER, HARDER) if _NAMED[way].search(text) or (leaves_choice and _LEANING[way].search(text))
    )
