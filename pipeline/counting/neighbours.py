"""The numbers around a number: those next to it, the runs that it may be part of, and what was announced before."""

from __future__ import annotations

from pipeline.counting.buckets import GAPS, PACES, bucket
from pipeline.counting.runs import Run, find_runs
from pipeline.mentions.hear import Mentions
from pipeline.mentions.numbers import NumberMention

#: What is said up to this many seconds before a number tells what is being counted.
STRETCH = 25.0
#: The signs that tell it.
TELLING = frozenset({
    "seconds", "minutes", "breaths", "holding", "pulsing", "tempo", "rest", "uncounted", "rounds", "switch", "intro",
    "outro", "start", "weight", "mass", "angle", "things", "calendar",
})  # fmt: skip
#: A number is the same number in words and in figures.
NUMERALS = frozenset({"word", "figure"})
SPOKEN = NUMERALS | {"soundalike"}


def form_of(one: NumberMention) -> str:
    """Return how a number is said; words and figures are the same."""
    return "numeral" if one.form in NUMERALS else one.form


def relation(a: NumberMention, b: NumberMention) -> str:
    """Return how a number's value stands to that of one before it: a small change, or which way."""
    if "half" in (a.form, b.form):
        return "half"
    change = b.value - a.value
    if -2 <= change <= 2:
        return f"{change:+.0f}"
    return "up" if change > 0 else ("reset" if b.value <= 2 else "down")


class Neighbours:
    """Looks from each number of one class at the others: in time, in value, and along runs."""

    def __init__(self, mentions: Mentions) -> None:
        self.mentions, self.numbers = mentions, mentions.numbers
        coarse = mentions.transcript.source.timing == "coarse"
        self.grain = "~" if coarse else ""
        self.up_before, self.up_after = find_runs(self.numbers, 1, coarse)
        self.down_before, self.down_after = find_runs(self.numbers, -1, coarse)
        self._by_utterance: list[list[NumberMention]] = [[] for _ in mentions.utterances]
        for one in self.numbers:
            self._by_utterance[self.utterance(one)].append(one)
        self.signs_of = [set().union(*mentions.signs_at[u.first : u.stop]) for u in mentions.utterances]
        self._telling_of = [signs & TELLING for signs in self.signs_of]
        self._lone = [sum(n.form in SPOKEN for n in inside) == 1 for inside in self._by_utterance]
        self._units = [self._unit_announced(one) for one in self.numbers]
        self.pairs = {
            d: [self._pair(a, b) for a, b in zip(self.numbers, self.numbers[d:], strict=False)] for d in (1, 2)
        }

    def utterance(self, one: NumberMention) -> int:
        """Return the place of the utterance that a number is said in."""
        return self.mentions.utterance_of[one.words[0]]

    def numbers_of(self, utterance: int) -> list[NumberMention]:
        """Return the numbers said in an utterance."""
        return self._by_utterance[utterance]

    def telling(self, at: int) -> set[str]:
        """Return the signs of an utterance that tell what is being counted."""
        return self._telling_of[at]

    def add_neighbours(self, out: list[str], i: int) -> None:
        """Say how the two numbers before and the two after relate to this one."""
        for d in (-2, -1, 1, 2):
            j = i + d
            if not 0 <= j < len(self.numbers):
                out.append(f"n{d:+d}=∅")
                continue
            other = self.numbers[j]
            change, gap, together = self.pairs[abs(d)][min(i, j)]
            out += [
                f"n{d:+d}={change}", f"n{d:+d}={change}|{self.grain}gap={gap}", f"{self.grain}gap{d:+d}={gap}",
                f"n{d:+d}={change}|together={together}", f"n{d:+d} form={form_of(other)}",
            ]  # fmt: skip

    def add_stretch(self, out: list[str], i: int) -> None:
        """Say what the stretch before is about: what was announced, and whether this is part of a chant."""
        mentions, one = self.mentions, self.numbers[i]
        at = self.utterance(one)
        recent: set[str] = set()
        for back in range(at, -1, -1):
            other = mentions.utterances[back]
            if one.time - other.end > STRETCH or at - back > 8:
                break
            recent |= self._telling_of[back]
        here = self.numbers_of(at)
        chant = len(here) > 1
        out += [f"lately {sign}" for sign in recent]
        out += [f"lately {sign}|chant={chant}" for sign in recent]
        announced = self._announcement(i)
        unit = "none"
        if announced is not None:
            value, unit, since = announced
            compared = "=" if value == one.value else ("<" if one.value < value else ">")
            out += [f"announced {unit}", f"announced {unit} {compared}", f"announced {unit}|chant={chant}"]
            if unit == "seconds":
                share = bucket(since / max(1.0, value), (0.15, 0.3, 0.6, 0.9, 1.2, 1.6, 2.2))
                out.append(f"announced seconds {compared}|share={share}")
        interleaved = f"chant={chant}|interleaved={self._interleaved(at)}"
        out += [f"{interleaved}|{unit}", interleaved]

    def add_runs(self, out: list[str], i: int) -> None:
        """Say what runs the number is part of, at what pace, and whether they reach what was announced."""
        one = self.numbers[i]
        pairs = (
            ("up", self.up_before[i], self.up_after[i]),
            ("down", self.down_before[i], self.down_after[i]),
        )
        for name, before, after in pairs:
            total = before.length + after.length - 1
            pace = self._pace(before, after)
            out += [
                f"{name} before={min(before.length, 4)}", f"{name} after={min(after.length, 4)}",
                f"{name} total={min(total, 6)}", f"{name} pace={self.grain}{pace}",
            ]  # fmt: skip
            if total > 1:
                out += [f"{name} total={min(total, 5)}|pace={self.grain}{pace}",
                        f"{name} from={min(before.far, 6):.0f}", f"{name} to={min(after.far, 6):.0f}",
                        f"{name} seconds={_seconds_like(before, after)}"]  # fmt: skip
                if name == "up" and self._announced(before.far_index, after.far):
                    out.append(f"up to announced|pace={self.grain}{pace}")
                if name == "down" and self._announced(before.far_index, before.far):
                    out.append(f"down from announced|pace={self.grain}{pace}")
        if self._is_end_of_a_run_to_come(i, one.value):
            out.append("a run ends on it later")
        if self._announced(i, one.value):
            out.append("said before")

    def _pair(self, a: NumberMention, b: NumberMention) -> tuple[str, int, bool]:
        """Return how the later of two numbers relates to the earlier: value, silence between, one utterance or two."""
        return (
            relation(a, b),
            bucket(abs(b.time - a.time), GAPS),
            self.utterance(a) == self.utterance(b),
        )

    def _unit_announced(self, one: NumberMention) -> str | None:
        """Return the unit that follows a number said as a word, figure or sound-alike, if any."""
        if one.form not in SPOKEN or one.value < 3:
            return None
        near = set().union(*self.mentions.signs_at[one.words[1] : one.words[1] + 2])
        return next((unit for unit in ("breaths", "seconds", "reps") if unit in near), None)

    def _announcement(self, i: int) -> tuple[float, str, float] | None:
        """The latest number before ``i`` that was said with a unit: its value, the unit, seconds since."""
        now = self.numbers[i].time
        for j in range(i - 1, max(-1, i - 25), -1):
            other, unit = self.numbers[j], self._units[j]
            if now - other.time > 120:
                return None
            if unit is not None:
                return other.value, unit, now - other.time
        return None

    def _interleaved(self, at: int) -> int:
        """Tell how many utterances near hold a lone number of a run that a chant in utterance ``at`` is not part of."""
        return min(sum(self._lone[max(0, at - 4) : at]) + sum(self._lone[at + 1 : at + 5]), 3)

    def _pace(self, before: Run, after: Run) -> int:
        paces = [run.pace for run in (before, after) if run.length > 1]
        return bucket(sum(paces) / len(paces), PACES) + 1 if paces else 0

    def _announced(self, i: int, value: float) -> bool:
        """Tell whether the value was said in the minute before number ``i``, outside its run."""
        now = self.numbers[i].time
        for j in range(i - 1, max(-1, i - 12), -1):
            other = self.numbers[j]
            if now - other.time > 60.0:
                return False
            if other.value == value and now - other.time > 3.0:
                return True
        return False

    def _is_end_of_a_run_to_come(self, i: int, value: float) -> bool:
        now = self.numbers[i].time
        for j in range(i + 1, min(len(self.numbers), i + 30)):
            other = self.numbers[j]
            if other.time - now > 120.0:
                return False
            if other.value == value and self.up_before[j].length >= 3 and self.up_before[j].far_index > i:
                return True
            if other.value in (value, value - 1) and self.down_after[j].length >= 4:
                return True
        return False


def _seconds_like(before: Run, after: Run) -> bool:
    return any(run.length > 1 and 0.75 <= run.pace <= 1.25 for run in (before, after))
