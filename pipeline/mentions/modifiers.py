"""Modifiers around a name: "split-stance" before a row, "with a pause" after a squat, and both off a listed name."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from lexicon import Modifier
from pipeline.mentions.tokens import Token, key_of

LONGEST_MODIFIER = 5
"""Tokens that a modifier has at most."""

PREPOSITIONS = frozenset({"with", "on", "in", "from", "at", "off", "to", "against", "lying"})


@dataclass(frozen=True, slots=True)
class Said:
    """A modifier as it was said: the entry, the words to write it with, whether it stood after the base."""

    modifier: Modifier
    text: str
    after: bool

    @property
    def stays_after(self) -> bool:
        """Whether a written name has it after the base as well."""
        return self.modifier.after or self.modifier.kind in {"tempo", "range"}


class Modifiers:
    """The modifiers of a lexicon by their joined tokens: those that stand before a base, and those after it."""

    def __init__(self, modifiers: Iterable[Modifier]) -> None:
        self._before: dict[str, tuple[Modifier, str]] = {}
        self._after: dict[str, tuple[Modifier, str]] = {}
        for modifier in modifiers:
            for text in modifier.names:
                if text.split()[0] not in PREPOSITIONS or text == "lying":
                    self._before.setdefault(key_of(text), (modifier, text))
                self._after.setdefault(key_of(text), (modifier, text))
        self._ends = {key[-2:] for key in self._before}
        self._starts = {key[:2] for key in self._after}

    def length_at(self, tokens: Sequence[Token], at: int) -> int:
        """Return how many tokens the longest modifier has that starts here ("split stance", not "splits")."""
        key, longest = "", 0
        for stop in range(at + 1, min(at + LONGEST_MODIFIER, len(tokens)) + 1):
            key += tokens[stop - 1].text
            if key in self._before:
                longest = stop - at
            if tokens[stop - 1].pause:
                break
        return longest

    def before(self, tokens: Sequence[Token], start: int, free: int) -> tuple[int, Said] | None:
        """Return the longest modifier that ends at token ``start``, with its first token, none before ``free``."""
        if start <= free or tokens[start - 1].text[-2:] not in self._ends:
            return None
        key, best = "", None
        for first in range(start - 1, max(free, start - LONGEST_MODIFIER) - 1, -1):
            if tokens[first].pause:
                break
            key = tokens[first].text + key
            if key in self._before:
                modifier, text = self._before[key]
                best = first, Said(modifier, text, False)
        return best

    def after(self, tokens: Sequence[Token], stop: int) -> tuple[int, Said] | None:
        """Return the longest modifier that stands at token ``stop``, after the base, with the token where it ends."""
        comma = tokens[stop - 1].pause
        if stop >= len(tokens) or comma == 2 or tokens[stop].text[:2] not in self._starts:
            return None
        key, best = "", None
        for last in range(stop, min(stop + LONGEST_MODIFIER, len(tokens))):
            key += tokens[last].text
            found = self._after.get(key)
            if found is not None:
                modifier, text = found
                loose = text.split()[0] in PREPOSITIONS or (modifier.after and not comma)
                firm = (
                    not modifier.everyday
                    and (comma or (last > stop and modifier.kind != "side"))
                    and modifier.kind not in {"tempo", "range"}
                )
                follows = tokens[last + 1].plain if last + 1 < len(tokens) else ""
                option = follows in {"or", "if"} or (modifier.after and follows in {"and", "it", "there"})
                if (loose or firm) and not option:
                    best = last + 1, Said(modifier, text, True)
            if tokens[last].pause:
                break
        return best

    def take_apart(self, tokens: Sequence[Token], is_base: Callable[[str, Token], bool]) -> tuple[frozenset[str], str]:
        """Return the modifiers of a listed name, and the joined tokens that are left.

        What is left has to be a name itself: ``is_base`` tells, by the joined tokens and the last one.
        """
        texts = [token.text for token in tokens]
        start, stop, found = 0, len(tokens), set[str]()
        cut = min(LONGEST_MODIFIER, stop - 1)
        while cut > 0:
            head = self._before.get("".join(texts[start : start + cut]))
            tail = self._after.get("".join(texts[stop - cut : stop]))
            if head is not None and is_base("".join(texts[start + cut : stop]), tokens[stop - 1]):
                found.add(head[0].name)
                start += cut
            elif tail is not None and is_base("".join(texts[start : stop - cut]), tokens[stop - cut - 1]):
                found.add(tail[0].name)
                stop -= cut
            else:
                cut -= 1
                continue
            cut = min(LONGEST_MODIFIER, stop - start - 1)
        return frozenset(found), "".join(texts[start:stop])
