"""The easier and the harder ways that were offered, told from all else that sounds like an offer.

Any sentence may name its way ("easier version, knees down", "to make it tougher, …", "if your legs are tired, …",
"feeling strong? …"). The record's cues of kind "option" are whatever leaves a choice, "you can hear the rain" among
them; one that names no way also counts where it leaves a choice ("if", "can", "fine", "instead") between words of
one way or the other ("knees", "smaller", "the wall"; "higher", "more"). The words are common practice in classes, no
source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from pipeline.model import Record
from pipeline.publish.webvtt_file import one_line

EASIER, HARDER = "easier", "harder"

_WAY = r"(?:version|option|one|road|way|variation|choice|alternative)s?"
_WEAK = (
    r"(?:tired|heavy|sore|shaky|cranky|cross|stiff|tight|struggling|unhappy|too (?:much|hard|heavy|fast|far)|unsteady"
    r"|swinging|arch(?:es|ing)|lifts|wobbl\w+|grumbl\w+|mutter\w*|complain\w*|giv(?:es|ing) (?:up|out|in)|gone"
    r"|grip's going|that's (?:plenty|enough)|pops? up|rises|bothers?|(?:isn't|aren't) your (?:friend|thing)"
    r"|can't (?:reach|get|hold|kneel|do|manage|balance|straighten|bend|lift|jump)"
    r"|need (?:\w+ )?(?:help|support|rest|break|breather))"
)
_TO_DO = r"(?:jump|hop|leap|run|lift|kneel|stand)(?:s|ing|ning|ping)?"
_LIGHT = r"(?:easy|easier|kinder|gentler|softer|low|lower|sleepy|low-impact|beginner\S*)"
_MORE = r"(?:an? |some )?(?:bit |little )?(?:more|extra|challenge)"
_FRESH = r"(?:strong|fresh|brave|good|fierce)"
_NAMED = {
    EASIER: re.compile(
        rf"^\W*easier\b(?! than)|\b(?!lower one \w){_LIGHT} {_WAY}\b"
        r"|\b(?:is|it's|that's) (?:easier|kinder|gentler|softer)\b|\bregression\b|\bif\b.*\binstead\b(?! of)"
        r"|^\W*(?:beginners|new to this)\b"
        rf"|\bif (?:\S+ ){{0,6}}{_WEAK}\b"
        rf"|\bno {_TO_DO}(?: today| for you)?\?|\b(?:instead of|rather than) (?:{_TO_DO}|\w+ing)\b"
        r"|\bwithout (?:the|any|a) (?:step|weights?|dumbbells?|bell|band|jump|hop)s?\b"
        r"|\b(?:shallower|smaller|slower|shorter|lower|lighter|less) is (?:\w+ )?(?:fine|good|ok|okay|plenty|enough)\b"
        r"|\bto make it (?:easier|kinder|gentler|simpler)\b|^\W*modify\b|\bmodification\b|\blevel (?:one|1)\b"
        r"|\bwelcome to (?:skip|leave|sit|rest|step|walk|kneel)\b|\b(?:pick|take|use|choose) (?:the |a )?lighter\b"
        r"|^\W*or (?:just |you can )?(?:keep|leave|rest|drop|put|bend|stay|sit|hold on|walk|step)\b"
        r"|\bto your knees (?:any ?time|whenever)\b"
        r"|\blighter (?:weights?|plates?|dumbbells?|bell|band)s? if\b"
        r"|\bsitting (?:\w+ )?is (?:an? )?(?:fine|good|great|ok|okay|perfect)\b"
    ),
    HARDER: re.compile(
        rf"^\W*harder\b|\beasier\b.*\bharder\b|\b(?:harder|higher|tougher|advanced) {_WAY}\b"
        r"|\b(?:hard|full|fuller) (?:version|option|variation)s?\b"
        r"|\b(?:is|it's|that's) (?:harder|tougher)\b|\bprogression\b"
        rf"|(?:^\W*|\bif you(?:'d| would)? )(?:want|fancy|like|(?:are )?ready for|(?:are )?up for) {_MORE}\b"
        rf"|\bfeeling {_FRESH}\?|\bif you(?:'re| are) feeling {_FRESH}\b"
        r"|\bto (?:make (?:it|this|that) (?:harder|tougher)|(?:bump|turn|step) (?:it|this|that) up|progress)\b"
        r"|\bfor (?:an? |some )?(?:bit |little )?(?:extra|more of an? (?:test|challenge)|challenge)\b"
        rf"|\b(?:if|once|when) (?:\S+ ){{0,5}}(?:is|are|feels?|it's|that's) (?:too )?(?:easy|light|a breeze)\b"
        rf"|\bif (?:\S+ ){{1,3}}up for (?:it|that|{_MORE})\b"
        r"|\bfor (?:an? |some )?(?:added|extra|more) (?:resistance|load|work|burn|kick|heat|spice|bite|challenge)\b"
        r"|^\W*or (?:even |you can )?(?:lift|straighten|add|raise|float|hover|jump|hop)\b"
        r"|\bif you've been at this\b|\bwith more experience\b|\bto challenge (?:your|the)\b"
        r"|\blevel (?:two|three|2|3)\b"
        r"|\bgo heavier\b(?! than)|\bif you(?:'ve| have) (?:got )?(?:the |some |more )*energy\b"
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
_SENTENCE_END = re.compile(r"[.!…][\"'”’)\]]*$")
_SHORT_SENTENCE = re.compile(r"(?:[^\s.!…?]+ ){0,2}[^\s.!…?]+[.!…]+ (?=\S)")
# No offer in this class: what it needs, what other classes bring, when to stop, and what to do on the days after.
_NO_OFFER = re.compile(
    r"\byou(?:'ll| will)? (?:need|want) an?\b|\bclass\b|\bnext (?:time|week)\b|\bcan i\b"
    r"|\b(?:stop|qualified|professional|doctor|physio\w*|(?:ask|see) some\w+|looked at|tomorrow|a day|days|weeks?)\b"
    r"|\b(?:mon|tues|wednes|thurs|fri|satur|sun)day\b|\bthat's (?:the exercise|normal)\b"
)


@dataclass(frozen=True, slots=True)
class OfferedOption:
    """An option as it was said, when (seconds), and which ways it goes: easier, harder or both."""

    time: float
    ways: tuple[str, ...]
    text: str


def offered_options(record: Record) -> tuple[OfferedOption, ...]:
    """Return the easier and harder options of a class in order of time, each sentence once."""
    cues = [cue for cue in record.cues if cue.kind == "option"]
    found = [
        OfferedOption(cue.time, ways, _without_count(one_line(cue.text))) for cue in cues if (ways := _ways(cue.text))
    ]
    told = [cue.words for cue, ways in ((cue, _ways(cue.text)) for cue in cues) if ways]
    for first, stop in _sentences(record):
        text = " ".join(word.text for word in record.words[first:stop])
        if any(first < end and begin < stop for begin, end in told):
            continue
        if ways := _named(_plain(text)):
            found.append(OfferedOption(record.words[first].start, ways, one_line(text)))
    return tuple(sorted(found, key=lambda one: one.time))


def _sentences(record: Record) -> Iterator[tuple[int, int]]:
    """Yield the ranges of words of each sentence: a question goes with its answer, a piece ends what has no stop."""
    for piece in record.pieces:
        first = piece.first
        for at in range(piece.first, piece.stop):
            if _SENTENCE_END.search(record.words[at].text):
                yield first, at + 1
                first = at + 1
        if first < piece.stop:
            yield first, piece.stop


def _without_count(text: str) -> str:
    """Return the words of a cue without the count or call before them: "Four, halfway.", "Floor."."""
    while match := _SHORT_SENTENCE.match(text):
        rest = text[match.end() :]
        if _ways(rest) != _ways(text):
            break
        text = rest
    return text


def _ways(text: str) -> tuple[str, ...]:
    text = _plain(text)
    if named := _named(text):
        return named
    if _NO_OFFER.search(text) or not _CHOICE.search(text):
        return ()
    return tuple(way for way in (EASIER, HARDER) if _LEANING[way].search(text))


def _named(text: str) -> tuple[str, ...]:
    """Return the ways that a sentence itself names."""
    return () if _NO_OFFER.search(text) else tuple(way for way in (EASIER, HARDER) if _NAMED[way].search(text))


def _plain(text: str) -> str:
    return one_line(text).lower().replace("’", "'")
