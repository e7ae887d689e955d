"""What a class needs: the tools that its exercises can be done with and that the presenters take up.

An exercise names all that it can be done with, and a class uses little of it. A tool counts where the exercise is
called by it ("kettlebell swing"), where it was asked for or taken up ("you'll want a chair", "two dumbbells", "with one
bell"), or where it was stood, lain or leant on more than once ("on the mat"), or
spoken of often: a clock may hang on the wall, and "step" is a word for feet too. What no exercise of the class is done
with, a cushion for the head, counts where it is asked for before the first set.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Sequence

from pipeline.model import Chapter, Record

NO_EQUIPMENT = "none"
"""How the lexicon says that nothing is needed."""

REACH = 14
"""Words of one sentence within which a list of tools follows "you need" (by judgement)."""

FANCIED_REACH = 6
"""Words back to "like" or "imagine" within which a tool is a figure of speech (by judgement)."""

OFTEN = 2
"""Mentions of a place to be on that make it a tool of the class; once may be a figure of speech (by judgement)."""

MANY = 5
"""Mentions of any kind that make a tool one of the class (by judgement)."""

_TAKEN = frozenset(
    "need needs want wants have bring fetch find get got grab load pick take use using hold holding".split()
    + "loop pass put push park roll".split()
)
_ASKED = frozenset("need needs want bring fetch find get grab".split())
_ON = frozenset("on onto off against from under over to".split())
_TOUCHING = frozenset("hand hands finger fingers fingertips palm palms back".split())
_FANCIED = frozenset("imagine imagining pretend picture".split())
_WISHING = frozenset("you i we you'd i'd we'd would".split())
_COUNTS = frozenset("two three four both pair".split())
# What a tool is called for short, once its whole name has been said.
_SHORT = {"barbell": "bar", "kettlebell": "bell"}
_STRIDES = frozenset({"step"})  # counted and spoken of often where there is nothing to step on
_DETERMINERS = frozenset("a an the your my our that this these those both one two some any each".split())
_SENTENCE_END = re.compile(r"[.!?…][\"'”’)\]]*$")


def class_equipment(record: Record, known: Iterable[str] = ()) -> list[str]:
    """Return the tools of a class in the order of the exercises that use them, then what else was asked for.

    ``known`` are the tools that there are, those of the lexicon.
    """
    tools = dict.fromkeys(tool for chapter in record.chapters for tool in chapter.equipment if tool != NO_EQUIPMENT)
    texts = [word.text for word in record.words]
    bare = [re.sub(r"[^\w'-]", "", text.lower()) for text in texts]
    names = " | ".join(name.lower() for one in record.chapters for name in (one.exercise_name, *one.aliases))

    def is_name(at: int) -> bool:
        """Whether what is named is an exercise: a step touch, a chair pose."""
        return at + 1 < len(bare) and f" {bare[at]} {bare[at + 1]} " in f" {names} "

    used = [
        tool
        for tool in tools
        if _names_exercise(tool, record.chapters) or _is_used(tool.lower(), tools, texts, bare, is_name)
    ]
    others = [one for one in dict.fromkeys(known) if one not in tools and one != NO_EQUIPMENT]
    before = sum(word.start < record.sets[0].start for word in record.words) if record.sets else 0
    opening = (texts[:before], bare[:before])
    return used + [one for one in others if _is_asked_for(one.lower(), {*tools, *others}, *opening)]


def _names_exercise(tool: str, chapters: Sequence[Chapter]) -> bool:
    """Tell whether an exercise that can be done with a tool is called by it: a kettlebell swing, but no chair pose."""
    return tool not in _STRIDES and any(
        tool in chapter.equipment and f" {tool.lower()} " in f" {chapter.exercise_name.lower()}" for chapter in chapters
    )


def _is_asked_for(tool: str, tools: Collection[str], texts: Sequence[str], bare: Sequence[str]) -> bool:
    """Tell whether a tool stands in a list of what to bring: with an article, and "you'll need" before it."""
    return any(
        _ASKED & set(_same_sentence(texts, bare, at)) and {"a", "an", "your"} & set(bare[max(at - 3, 0) : at])
        for at in _places(tool, tools, bare)
    )


def _is_used(
    tool: str,
    tools: Collection[str],
    texts: Sequence[str],
    bare: Sequence[str],
    is_name: Callable[[int], bool],
) -> bool:
    spoken_of = leant_on = 0
    for at in _places(tool, tools, bare):
        determiner = next((i for i in range(at - 1, max(at - 3, -1), -1) if bare[i] in _DETERMINERS), None)
        counted = any(word in _COUNTS or word.isdecimal() for word in bare[max(at - 3, 0) : at])
        if is_name(at) or _is_fancied(texts, bare, at) or (determiner is None and not counted):
            continue
        if (counted and bare[at].endswith("s")) or _TAKEN & set(_same_sentence(texts, bare, at)):
            return True
        before = bare[determiner - 1] if determiner else ""
        touched = determiner is not None and determiner > 1 and before in _ON and bare[determiner - 2] in _TOUCHING
        if before == "with" or touched:
            return True
        spoken_of += 1
        leant_on += before in _ON
    return leant_on >= OFTEN or (spoken_of >= MANY and tool not in _STRIDES)


def _places(tool: str, tools: Collection[str], bare: Sequence[str]) -> list[int]:
    """Return where a tool is named, in the singular or the plural: a pull-up bar is "the bar" if no other is."""
    noun = re.split(r"[\s-]", tool)[-1]
    if tool in _STRIDES:
        return [at for at, word in enumerate(bare) if word == tool]
    forms = {tool, f"{tool}s"} if noun != tool and noun in tools else {noun, f"{noun}s", f"{noun}es"}
    short = _SHORT.get(tool)
    if (
        short
        and tool in bare
        and not any(other != tool and re.split(r"[\s-]", other)[-1] in {short, f"{short}s"} for other in tools)
    ):
        forms |= {short, f"{short}s"}
    # The balls of the feet are nothing to bring.
    return [at for at, word in enumerate(bare) if word in forms and (at + 1 == len(bare) or bare[at + 1] != "of")]


def _is_fancied(texts: Sequence[str], bare: Sequence[str], at: int) -> bool:
    """Tell a figure of speech: "like you're holding a ball", "imagine a wall"."""
    before = _same_sentence(texts, bare, at)[-FANCIED_REACH:]
    likened = any(
        word == "like" and texts[at - len(before) + i][-1].isalpha() and not (i and before[i - 1] in _WISHING)
        for i, word in enumerate(before)
    )
    return likened or bool(_FANCIED & set(before))


def _same_sentence(texts: Sequence[str], bare: Sequence[str], at: int) -> list[str]:
    """Return the words before a place, back to the sentence's start and no further than ``REACH``."""
    first = at
    while first > max(at - REACH, 0) and not _SENTENCE_END.search(texts[first - 1]):
        first -= 1
    return list(bare[first:at])
