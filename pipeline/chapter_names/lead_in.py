"""How a name stands in its sentence: a start position, a plan for later, an instruction, a name of its own.

All the phrases are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Container

from pipeline.chapter_names.naming import words_of
from pipeline.chapter_names.stems import EMPTY
from pipeline.mentions.exercises import ExerciseMention
from pipeline.mentions.hear import Mentions
from pipeline.mentions.numbers import SOUNDALIKES
from pipeline.mentions.plain_speech import NUMBERS, PLAIN_SPEECH
from pipeline.mentions.sounds import is_word
from pipeline.mentions.tokens import fold

#: How many words before a name are looked at.
REACH = 5
_LATER = re.compile(
    r"(?:\bthen|\b(?:move|exercise|number|part|station) (?:two|three|four|b|c|2|3)(?: is| it's)?|\bsecond \S+(?: is)?"
    r"|\blater|\bafter (?:that|this))(?: (?:a|an|the|some|our|your|up|on|\d+|two|four|six|eight|ten))? $"
)
_START = re.compile(r"\b(?:from|in|through)(?: (?:a|an|the|your|our))? $")
_SUBJECT = re.compile(r"\b(?:left|right|other|top|bottom|your|each|one|back|front)(?: (?:left|right|other|top))? $")
_LIMB = re.compile(r"\b(?:left|right|arm|leg|knee|hand|foot|heel|arms|legs|knees|hands|heels) $")
_LET = re.compile(r"\b(?:let|lets|letting) (?:the|your|that|it) $")
_COMPARISON = re.compile(r"\b(?:like|as if|as though) (?:a|an|the|some|your|you're|you|\S+ing) $")
_IT_DOES = re.compile(r"\b(?:it|he|she|that|everything) $")
_COUNTED = re.compile(r"\b(?:two|three|four|five|six|2|3|4|5|6) $")
_OBJECTS = frozenset({"it", "them", "those", "these", "your"})
_TO_A_PLACE = frozenset({"the", "a", "your", "that"})
_PARTS = frozenset({"arm", "leg", "knee", "heel", "elbow", "foot", "hand", "hip", "shoulder", "toe", "chest"})
_NO_NAME_WORDS = """
big slow quick nice good strong proper little last next first final full real same easy hard heavy light small long
clean more other another new old usual ordinary plain normal honest pretty lovely beautiful great tidy steady gentle
tiny different deep low high lazy careful total extra single double each every those these straight wide narrow left
right whole round rounds set sets rep reps side sides time times minute minutes number numbers
"""
_NO_NAME = frozenset(_NO_NAME_WORDS.split()) | PLAIN_SPEECH | NUMBERS | EMPTY | SOUNDALIKES.keys()


def lead_in(mentions: Mentions, one: ExerciseMention) -> str:
    """Return up to five words before a name, within its sentence (or, unpunctuated, its utterance)."""
    words = mentions.transcript.words
    floor = max(0, one.words[0] - REACH)
    if mentions.transcript.source.timing != "coarse":
        floor = max(floor, mentions.utterances[mentions.utterance_of[one.words[0]]].first)
    k = one.words[0]
    while k > floor and words[k - 1].text[-1:] not in {".", "!", "?"}:
        k -= 1
    return "".join(f"{token} " for token in mentions.tokens[k : one.words[0]])


def is_start(lead: str) -> bool:
    """Return whether what follows is a position to start from ("from a high plank")."""
    return _START.search(lead) is not None


def is_later(lead: str) -> bool:
    """Return whether what follows comes after something else ("and then a press", "move two is a press")."""
    return _LATER.search(lead) is not None


def is_counted(lead: str) -> bool:
    """Return whether a small number stands before ("three lifts" speaks of three exercises)."""
    return _COUNTED.search(lead) is not None


def is_instruction(one: ExerciseMention, lead: str) -> bool:
    """Return whether a name is rather said to a part of the body: "fingers spread", "the other arm curls"."""
    words = words_of(one.text)
    if len(words) < 2 or one.heard != "exact":
        return False
    if _LET.search(lead) or "standing" in words[2:]:
        return True
    first = fold(words[0])
    if first != words[0] and (not one.name.lower().startswith(words[0]) or _LIMB.search(lead)):
        return True
    verb = words[-1].endswith("s") and fold(words[-1]) != words[-1]
    return (
        words[-2] in _PARTS and verb and (_SUBJECT.search(lead) is not None or words[0] in {"left", "right", "other"})
    )


def is_action(mentions: Mentions, one: ExerciseMention, lead: str) -> bool:
    """Return whether a name is rather what something does, or how one gets somewhere.

    "It swings back", "on the floor, split them up", "push up to the plank".
    """
    words, tokens = mentions.transcript.words, mentions.tokens
    last = tokens[one.words[1] - 1]
    if one.heard != "exact":
        return False
    if len(words_of(one.text)) == 1 and last.endswith("s") and _IT_DOES.search(lead):
        return True
    if words[one.words[1] - 1].text[-1:] in ",.!?;:":
        return False
    after = tokens[one.words[1] : one.words[1] + 2]
    if lead.endswith("on the ") and len(words_of(one.text)) > 1 and not _OBJECTS.isdisjoint(after[:1]):
        return True
    return last == "up" and (
        after[:1] in (("into",), ("onto",)) or (after[:1] == ("to",) and not _TO_A_PLACE.isdisjoint(after[1:]))
    )


def is_plain_talk(one: ExerciseMention) -> bool:
    """Return whether a name known by its sound alone begins with a plain word ("whole lifts")."""
    return one.heard == "sound" and words_of(one.text)[0] in _NO_NAME


def is_announced(one: ExerciseMention) -> bool:
    """Return whether a name that no list holds is announced as one: "swings press" is rather a name misheard."""
    return one.heard == "announced" and all(fold(word) == word and is_word(word) for word in words_of(one.text)[:-1])


def is_comparison(lead: str) -> bool:
    """Return whether what follows is what something looks like ("round up like an angry cat")."""
    return _COMPARISON.search(lead) is not None


def is_plural(mentions: Mentions, one: ExerciseMention) -> bool:
    """Return whether a name stands in the plural ("mountain climbers")."""
    last = mentions.tokens[one.words[1] - 1]
    return last.endswith("s") and not last.endswith("ss") and not one.name.endswith(last[-4:])


def own_name(mentions: Mentions, one: ExerciseMention, modifiers: Container[str]) -> str | None:
    """Return "goddess squat" where a base word stands with a word that no list holds, or ``None``."""
    k = one.words[0] - 1
    if k < 0 or len(words_of(one.text)) != 1 or not is_own_word(mentions, k, modifiers):
        return None
    return f"{mentions.tokens[k]} {fold(words_of(one.text)[0])}"


def is_own_word(mentions: Mentions, k: int, modifiers: Container[str]) -> bool:
    """Return whether word ``k`` may belong to a name with the word after it: a noun that says nothing else."""
    if mentions.transcript.words[k].text[-1:] in ",.!?;:-":
        return False
    if mentions.utterance_of[k] != mentions.utterance_of[k + 1] and mentions.transcript.source.timing != "coarse":
        return False
    word = mentions.tokens[k]
    if word in _NO_NAME or word in modifiers or not word.isalpha() or len(word) < 3 or fold(word) != word:
        return False
    # A word that no dictionary holds is rather a name misheard.
    return is_word(word) and not word.endswith(("ly", "ing", "n't")) and word not in _PARTS
