"""Titles from a template that a person can change: ``{number}. {exercise}[, {reps}][, {tempo} tempo]``.

A name in braces is a field. What stands in square brackets is left out where one of its fields is not known,
so that no title says "round of". ``{{`` and ``}}`` are braces. The fields, all of them ready words:

========  ====================================================================================================
exercise  the exercise's name, its first letter large; in a block's title what the block is made of
side      "left" or "right"; unknown where both sides are done
range     "lower half", "upper half", "full range" or "pulses"
reps      "12 reps", "8 reps a side", "12 + 10 reps"
seconds   "30 seconds", "20 seconds a side"
tempo     "3-1-1", seconds in the order announced
round     the number of the round
rounds    how many rounds there are, where there is more than one
block     the number of the block, counted from 1 over the class
number    the chapter's place in the list, from 1
========  ====================================================================================================

A title longer than ``LONGEST`` loses bracketed parts from the last on, and then whole words.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from string import Formatter

from pipeline.model import InputError, Unit, WorkSet
from pipeline.publish.set_measures import tempo_text
from pipeline.publish.webvtt_file import one_line

FIELDS = ("exercise", "side", "range", "reps", "seconds", "tempo", "round", "rounds", "block", "number")

LONGEST = 80
"""Characters of a title: about what one line of a list beside a film shows; by judgement."""

LONGEST_JOINED = 100
"""Characters of the titles of short chapters that were joined, before the rest of them is only counted."""

RANGES = {"lower": "lower half", "upper": "upper half", "full": "full range", "pulse": "pulses"}

_PART = re.compile(r"\[([^\[\]]*)\]")


@dataclass(frozen=True, slots=True)
class Template:
    """A template, read: its parts in order, each with whether it may be left out."""

    parts: tuple[tuple[str, bool], ...]

    def title(self, facts: Mapping[str, str]) -> str:
        """Return the title of one chapter; ``facts`` are its fields, an unknown one missing or empty."""
        shown = [part for part, optional in self.parts if not optional or all(facts.get(f) for f in _fields(part))]
        texts = [_filled(part, facts) for part in shown]
        optional_from_last = [i for i, part in reversed([*enumerate(shown)]) if (part, True) in self.parts]
        for i in optional_from_last:
            if len(one_line("".join(texts))) <= LONGEST:
                break
            texts[i] = ""
        return shorten(one_line("".join(texts)) or facts.get("exercise", ""))


def read_template(text: str) -> Template:
    """Return a template; raise :class:`~pipeline.model.InputError` where it is none."""
    wanted = f"a title with the fields {', '.join('{' + name + '}' for name in FIELDS)}, and [ ] around parts"
    parts: list[tuple[str, bool]] = []
    at = 0
    for found in _PART.finditer(text):
        parts += [(text[at : found.start()], False), (found[1], True)]
        at = found.end()
    parts.append((text[at:], False))
    try:
        names = [name for part, _ in parts for name in _fields(part)]
    except ValueError as error:
        raise InputError("--template", None, f"{text!r} cannot be read ({error})", wanted) from error
    unknown = [name for name in names if name not in FIELDS]
    if unknown:
        raise InputError("--template", None, f"{text!r} has no such field as {{{unknown[0]}}}", wanted)
    if any(mark in part for part, optional in parts if not optional for mark in "[]"):
        raise InputError("--template", None, f"{text!r} has a bracket without its other", wanted)
    if not names:
        raise InputError("--template", None, f"{text!r} has no field, so all titles would be the same", wanted)
    return Template(tuple((part, optional) for part, optional in parts if part))


def set_facts(sets: Sequence[WorkSet]) -> dict[str, str]:
    """Return what the sets of one chapter say in common: side, range, reps, seconds, tempo."""
    facts: dict[str, str] = {}
    sides = {one.side for one in sets}
    if len(sides) == 1:
        facts["side"] = next(iter(sides)) or ""
    ranges = {one.range for one in sets}
    if len(ranges) == 1:
        facts["range"] = "" if _says_pulse(sets) else RANGES.get(next(iter(ranges)) or "", "")
    tempos = {one.tempo for one in sets}
    if len(tempos) == 1:
        facts["tempo"] = tempo_text(next(iter(tempos)))
    facts["reps"] = amount(sets, "reps")
    facts["seconds"] = amount(sets, "seconds")
    return facts


def _says_pulse(sets: Sequence[WorkSet]) -> bool:
    """Tell sets of pulses whose exercise's own name says so."""
    return all(one.range == "pulse" and "pulse" in one.exercise_name.lower() for one in sets)


def amount(sets: Sequence[WorkSet], unit: Unit) -> str:
    """Return what is done in these sets in ``unit``: ``8 reps a side``; empty where it is mixed or unknown.

    What was announced counts before what was done: a title tells a viewer what is coming.
    """
    values = [one.target if one.target is not None else one.performed for one in sets]
    known = [value for value in values if value is not None]
    if not known or len(known) < len(values) or any(one.unit != unit for one in sets):
        return ""
    noun = unit if set(known) != {1} else unit[:-1]
    sides = [one.side for one in sets]
    if len(set(known)) == 1:
        if sides.count("left") == sides.count("right") == len(sides) / 2:
            noun += " a side"
            return f"{known[0]} {noun}" if len(sides) == 2 else f"{len(sides) // 2} × {known[0]} {noun}"
        return f"{known[0]} {noun}" if len(known) == 1 else f"{len(known)} × {known[0]} {noun}"
    if len(known) > 4 or len(set(sides)) > 1:
        return ""
    return " + ".join(map(str, known)) + f" {unit}"


def join_titles(titles: Sequence[str]) -> str:
    """Return several titles as one: ``A + B``, and what does not fit counted: ``A + B + 3 more``."""
    different = list(dict.fromkeys(titles))
    shown = different[:1]
    for i, title in enumerate(different[1:], 1):
        if len(" + ".join([*shown, title])) > LONGEST_JOINED:
            return " + ".join([*shown, f"{len(different) - i} more"])
        shown.append(title)
    return " + ".join(shown)


def shorten(title: str) -> str:
    """Return a title on one line of at most ``LONGEST`` characters, cut after a whole word."""
    line = one_line(title)
    if len(line) <= LONGEST:
        return line
    words = line[:LONGEST].rsplit(" ", 1)[0] if " " in line[:LONGEST] else line[: LONGEST - 1]
    return words[: LONGEST - 1].rstrip(" ,;:+-") + "…"


def capital(name: str) -> str:
    """Return a name with its first letter large."""
    return name[:1].upper() + name[1:]


def _fields(part: str) -> list[str]:
    return [name for _, name, _, _ in Formatter().parse(part) if name is not None]


def _filled(part: str, facts: Mapping[str, str]) -> str:
    return "".join(
        text + (facts.get(name, "") if name is not None else "") for text, name, _, _ in Formatter().parse(part)
    )
