"""What can be seen of a number: the named features from which its role is read.

Features look at the words around a number, at the numbers before and after it, at the runs it may be part of
and at the clock. Weights decide; no feature decides alone.
"""

from __future__ import annotations

from functools import cached_property

from pipeline.counting.neighbours import NUMERALS, Neighbours, form_of
from pipeline.mentions.hear import Mentions
from pipeline.mentions.numbers import NumberMention

ROLES = (
    "rep", "left", "half", "target", "rounds", "tempo", "hold", "clock", "countin", "load", "degrees", "other",
    "none",
)  # fmt: skip
COUNTED = frozenset({"rep", "left", "hold", "clock", "tempo", "countin"})
_TAKING_BACK = frozenset({"no", "sorry", "wait", "rather", "mean", "actually", "oh", "not"})


class NumberView:
    """Computes the features of every number of one class."""

    def __init__(self, mentions: Mentions) -> None:
        self.mentions, self.numbers = mentions, mentions.numbers
        self.neighbours = Neighbours(mentions)
        self._number_at: dict[int, NumberMention] = {}
        for one in self.numbers:
            self._number_at.setdefault(one.words[0], one)
        self._name_words = {k for one in mentions.exercises if one.exercise is not None for k in range(*one.words)}
        self._exercise_words = {k for one in mentions.exercises if one.doing >= 0.3 for k in range(*one.words)}

    def items(self) -> list[list[str]]:
        """Return the feature names of every number, in order."""
        return [list(row) for row in self._rows]

    def steps(self) -> list[list[str]]:
        """Return the feature names of the step into every number from the one before it."""
        return [self._step(i) for i in range(len(self.numbers))]

    def _step(self, i: int) -> list[str]:
        if i == 0:
            return []
        change, gap, together = self.neighbours.pairs[1][i - 1]
        return [
            "any",
            f"move={change}",
            f"move={change}|{self.neighbours.grain}gap={gap // 2}",
            f"together={together}",
        ]

    @cached_property
    def _rows(self) -> list[list[str]]:
        return [self._features(i) for i in range(len(self.numbers))]

    def token(self, k: int) -> str:
        """Return the word at ``k`` for use in a feature: any number is ``#``."""
        tokens = self.mentions.tokens
        if not 0 <= k < len(tokens):
            return "∅"
        number = self._number_at.get(k)
        if number is not None and number.form in NUMERALS:
            return "#"
        return tokens[k]

    def _features(self, i: int) -> list[str]:
        one = self.numbers[i]
        first, stop = one.words
        mentions = self.mentions
        at = self.neighbours.utterance(one)
        utterance = mentions.utterances[at]
        value = int(one.value) if one.value == int(one.value) else -1
        form, token = form_of(one), "#" if one.form in NUMERALS else mentions.tokens[first]
        out = ["bias", f"form={form}", f"value={min(value, 21) if value <= 20 else value // 10 * 10}",
               f"word={token}"]  # fmt: skip
        if value >= 10 and value % 5 == 0:
            out.append("value round")
        self._add_words(out, first, stop, at)
        self._add_signs(out, first, stop, at)
        inside = [n for n in self.neighbours.numbers_of(at) if n.form not in {"quantity", "ordinal"}]
        length = utterance.stop - utterance.first
        others = length - sum(n.words[1] - n.words[0] for n in inside)
        place = inside.index(one) if one in inside else 0
        opens, ends = first == utterance.first, stop >= utterance.stop
        out += [
            f"in utterance={min(len(inside), 5)}", f"place={min(place, 3)}/{min(len(inside), 4)}",
            f"others={min(others, 4)}|n={min(len(inside), 4)}", f"opens={opens}|ends={ends}",
            f"opens={opens}|ends={ends}|{form}", f"offset={min(first - utterance.first, 4)}",
            f"rest={min(utterance.stop - stop, 4)}",
        ]  # fmt: skip
        raw = mentions.transcript.words[stop - 1].text
        mark = raw[-1] if raw[-1:] in ",.!?:;-–…" else "_"
        out += [f"mark={mark}", f"mark={mark}|opens={opens}"]
        if len(inside) > 1 and others <= 2:
            out.append("chant of " + " ".join(f"{n.value:.0f}" for n in inside[:6]))
        self._add_correction(out, i)
        self.neighbours.add_neighbours(out, i)
        self.neighbours.add_runs(out, i)
        self.neighbours.add_stretch(out, i)
        return out

    def _add_correction(self, out: list[str], i: int) -> None:
        """Say that a number is taken back at once ("six, no, seven"), or takes one back."""
        numbers, tokens = self.numbers, self.mentions.tokens
        for d, name in ((1, "corrected"), (-1, "corrects")):
            j = i + d
            if not 0 <= j < len(numbers):
                continue
            a, b = (numbers[i], numbers[j]) if d > 0 else (numbers[j], numbers[i])
            between = tokens[a.words[1] : b.words[0]]
            if 1 <= len(between) <= 5 and _TAKING_BACK & set(between[:3]):
                out += [name, f"{name} within={min(len(between), 3)}"]

    def _add_words(self, out: list[str], first: int, stop: int, at: int) -> None:
        where = self.mentions.utterance_of
        count = len(self.mentions.tokens)

        def edge(k: int) -> str:
            return "" if 0 <= k < count and where[k] == at else "|"

        names = {d: edge(k) + self.token(k) for d, k in (
            (-3, first - 3), (-2, first - 2), (-1, first - 1), (1, stop), (2, stop + 1), (3, stop + 2))}  # fmt: skip
        out += [f"w{d:+d}={name}" for d, name in names.items()]
        out += [
            f"w-2-1={names[-2]} {names[-1]}",
            f"w+1+2={names[1]} {names[2]}",
            f"w-1+1={names[-1]} {names[1]}",
        ]
        utterance = self.mentions.utterances[at]
        out += [f"before~{self.token(k)}" for k in range(max(utterance.first, first - 6), first)]
        out += [f"after~{self.token(k)}" for k in range(stop, min(utterance.stop, stop + 6))]

    def _add_signs(self, out: list[str], first: int, stop: int, at: int) -> None:
        signs, utterances = self.mentions.signs_at, self.mentions.utterances
        count = len(signs)
        for d, k in ((-2, first - 2), (-1, first - 1), (1, stop), (2, stop + 1)):
            if 0 <= k < count:
                out += [f"s{d:+d}={sign}" for sign in signs[k]]
        here = set().union(*signs[utterances[at].first : first]) if first > utterances[at].first else set()
        out += [f"sign before={sign}" for sign in here]
        after = set().union(*signs[stop : utterances[at].stop]) if stop < utterances[at].stop else set()
        out += [f"sign after={sign}" for sign in after]
        for d in (-1, 1):
            if 0 <= at + d < len(utterances):
                out += [f"u{d:+d}={sign}" for sign in self.neighbours.signs_of[at + d]]
        here_exercise = any(k in self._exercise_words for k in range(utterances[at].first, utterances[at].stop))
        near = any(k in self._exercise_words for k in range(stop, min(stop + 4, count)))
        out += [f"exercise here={here_exercise}", f"exercise next={near}"]
        if first in self._name_words:
            out.append("in a name")
