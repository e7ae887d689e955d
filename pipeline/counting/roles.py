"""What can be seen of a number: the named features from which its role is read.

Features look at the words around a number, at the numbers before and after it, at the runs it may be part of
and at the clock. In the second reading they also look at what the first reading made of the other numbers and
of the utterances around (:class:`FirstReading`). Weights decide; no feature decides alone.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.counting.runs import Run, find_runs
from pipeline.counting.spans import work_spans
from pipeline.mentions.hear import Mentions
from pipeline.mentions.numbers import NumberMention

ROLES = (
    "rep", "left", "half", "target", "rounds", "tempo", "hold", "clock", "countin", "load", "degrees", "other",
    "none",
)  # fmt: skip
#: Upper edges of the buckets for a pace (seconds a count) and for a silence between two numbers (seconds).
PACES = (0.5, 0.85, 1.2, 1.7, 2.4, 3.3, 4.5)
GAPS = (0.45, 0.8, 1.15, 1.6, 2.4, 3.6, 5.5, 9.0, 15.0, 30.0, 60.0)
#: What is said up to this many seconds before a number tells what is being counted.
STRETCH = 25.0
#: The signs that tell it.
TELLING = frozenset({
    "seconds", "minutes", "breaths", "holding", "pulsing", "tempo", "rest", "uncounted", "rounds", "switch", "intro",
    "outro", "start", "weight", "mass", "angle", "things", "calendar",
})  # fmt: skip
_TAKING_BACK = frozenset({"no", "sorry", "wait", "rather", "mean", "actually"})
#: A number is the same number in words and in figures.
_NUMERALS = frozenset({"word", "figure"})
_SPOKEN = _NUMERALS | {"soundalike"}
COUNTED = frozenset({"rep", "left", "hold", "clock", "tempo", "countin"})


@dataclass(frozen=True)
class FirstReading:
    """What an earlier pass made of the class: a role a number, a phase an utterance, and their chances."""

    roles: Sequence[str]
    phases: Sequence[str]
    sets: Sequence[int | None]


def bucket(value: float, edges: Sequence[float]) -> int:
    """Return how many edges the value has reached; noise in the last digits of a time does not count."""
    return bisect_right(edges, round(value, 4))


class NumberView:
    """Computes the features of every number of one class."""

    def __init__(self, mentions: Mentions) -> None:
        self.mentions = mentions
        self.numbers = mentions.numbers
        self.coarse = mentions.transcript.source.timing == "coarse"
        self.grain = "~" if self.coarse else ""
        self.up_before, self.up_after = find_runs(self.numbers, 1, self.coarse)
        self.down_before, self.down_after = find_runs(self.numbers, -1, self.coarse)
        self._number_at: dict[int, NumberMention] = {}
        for one in self.numbers:
            self._number_at.setdefault(one.words[0], one)
        self._by_utterance: list[list[NumberMention]] = [[] for _ in mentions.utterances]
        for one in self.numbers:
            self._by_utterance[self._utterance(one)].append(one)
        self.signs_of = [set().union(*mentions.signs_at[u.first : u.stop]) for u in mentions.utterances]
        self._telling_of = [signs & TELLING for signs in self.signs_of]
        self._lone = [sum(n.form in _SPOKEN for n in inside) == 1 for inside in self._by_utterance]
        self._units = [self._unit_announced(one) for one in self.numbers]
        self._pairs = {
            d: [self._pair(a, b) for a, b in zip(self.numbers, self.numbers[d:], strict=False)] for d in (1, 2)
        }
        self._rows: list[list[str]] = []
        self._exercise_words = {k for one in mentions.exercises if one.doing >= 0.3 for k in range(*one.words)}

    def items(self, first: FirstReading | None = None) -> list[list[str]]:
        """Return the feature names of every number, in order; with ``first`` those of the second reading."""
        self._rows = self._rows or [self._features(i) for i in range(len(self.numbers))]
        rows = [list(row) for row in self._rows]
        if first is not None:
            _Hindsight(self, first).add_to(rows)
        return rows

    def steps(self) -> list[list[str]]:
        """Return the feature names of the step into every number from the one before it."""
        return [self._step(i) for i in range(len(self.numbers))]

    def _step(self, i: int) -> list[str]:
        if i == 0:
            return []
        relation, gap, together = self._pairs[1][i - 1]
        return [
            "any",
            f"move={relation}",
            f"move={relation}|{self.grain}gap={gap // 2}",
            f"together={together}",
        ]

    def _utterance(self, one: NumberMention) -> int:
        return self.mentions.utterance_of[one.words[0]]

    def _pair(self, a: NumberMention, b: NumberMention) -> tuple[str, int, bool]:
        """Return how the later of two numbers relates to the earlier: value, silence between, one utterance or two."""
        return (
            self._relation(a, b),
            bucket(abs(b.time - a.time), GAPS),
            self._utterance(a) == self._utterance(b),
        )

    @staticmethod
    def _relation(a: NumberMention, b: NumberMention) -> str:
        if "half" in (a.form, b.form):
            return "half"
        change = b.value - a.value
        if -2 <= change <= 2:
            return f"{change:+.0f}"
        return "up" if change > 0 else ("reset" if b.value <= 2 else "down")

    def token(self, k: int) -> str:
        """Return the word at ``k`` for use in a feature: any number is ``#``."""
        tokens = self.mentions.tokens
        if not 0 <= k < len(tokens):
            return "∅"
        number = self._number_at.get(k)
        if number is not None and number.form in {"word", "figure"}:
            return "#"
        return tokens[k]

    def _features(self, i: int) -> list[str]:
        one = self.numbers[i]
        first, stop = one.words
        mentions = self.mentions
        at = self._utterance(one)
        utterance = mentions.utterances[at]
        value = int(one.value) if one.value == int(one.value) else -1
        form, token = ("numeral", "#") if one.form in _NUMERALS else (one.form, mentions.tokens[first])
        out = ["bias", f"form={form}", f"value={min(value, 21) if value <= 20 else value // 10 * 10}",
               f"word={token}"]  # fmt: skip
        if value >= 10 and value % 5 == 0:
            out.append("value round")
        self._add_words(out, first, stop, at)
        self._add_signs(out, first, stop, at)
        inside = [n for n in self._numbers_of(at) if n.form not in {"quantity", "ordinal"}]
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
        self._add_neighbours(out, i)
        self._add_runs(out, i)
        self._add_stretch(out, i)
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

    def _numbers_of(self, utterance: int) -> list[NumberMention]:
        return self._by_utterance[utterance]

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
                out += [f"u{d:+d}={sign}" for sign in self.signs_of[at + d]]
        here_exercise = any(k in self._exercise_words for k in range(utterances[at].first, utterances[at].stop))
        near = any(k in self._exercise_words for k in range(stop, min(stop + 4, count)))
        out += [f"exercise here={here_exercise}", f"exercise next={near}"]

    def _add_neighbours(self, out: list[str], i: int) -> None:
        for d in (-2, -1, 1, 2):
            j = i + d
            if not 0 <= j < len(self.numbers):
                out.append(f"n{d:+d}=∅")
                continue
            other = self.numbers[j]
            relation, gap, together = self._pairs[abs(d)][min(i, j)]
            form = "numeral" if other.form in _NUMERALS else other.form
            out += [
                f"n{d:+d}={relation}", f"n{d:+d}={relation}|{self.grain}gap={gap}", f"{self.grain}gap{d:+d}={gap}",
                f"n{d:+d}={relation}|together={together}", f"n{d:+d} form={form}",
            ]  # fmt: skip

    def _add_stretch(self, out: list[str], i: int) -> None:
        """Say what the stretch before is about: what was announced, and whether this is part of a chant."""
        mentions, one = self.mentions, self.numbers[i]
        at = self._utterance(one)
        recent: set[str] = set()
        for back in range(at, -1, -1):
            other = mentions.utterances[back]
            if one.time - other.end > STRETCH or at - back > 8:
                break
            recent |= self._telling_of[back]
        here = self._numbers_of(at)
        chant = len(here) > 1
        out += [f"lately {sign}" for sign in recent]
        out += [f"lately {sign}|chant={chant}" for sign in recent]
        announced = self._announcement(i)
        unit = "none"
        if announced is not None:
            value, unit, since = announced
            relation = "=" if value == one.value else ("<" if one.value < value else ">")
            out += [f"announced {unit}", f"announced {unit} {relation}", f"announced {unit}|chant={chant}"]
            if unit == "seconds":
                share = bucket(since / max(1.0, value), (0.15, 0.3, 0.6, 0.9, 1.2, 1.6, 2.2))
                out.append(f"announced seconds {relation}|share={share}")
        interleaved = f"chant={chant}|interleaved={self._interleaved(at)}"
        out += [f"{interleaved}|{unit}", interleaved]

    def telling(self, at: int) -> set[str]:
        """Return the signs of an utterance that tell what is being counted."""
        return self._telling_of[at]

    def _unit_announced(self, one: NumberMention) -> str | None:
        """Return the unit that follows a number said as a word, figure or sound-alike, if any."""
        if one.form not in _SPOKEN or one.value < 3:
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

    def _add_runs(self, out: list[str], i: int) -> None:
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


class _Hindsight:
    """Adds to each number what the first reading made of its surroundings."""

    def __init__(self, view: NumberView, first: FirstReading) -> None:
        self.view, self.first = view, first

    def add_to(self, rows: list[list[str]]) -> None:
        view, first = self.view, self.first
        numbers = view.numbers
        last: dict[str, NumberMention] = {}
        targets: list[tuple[int, str]] = []
        for i, one in enumerate(numbers):
            out = rows[i]
            for d in (-2, -1, 1, 2):
                if 0 <= i + d < len(numbers):
                    out.append(f"r{d:+d}={first.roles[i + d]}")
            out.append(
                f"r-1+1={first.roles[i - 1] if i else '∅'} {first.roles[i + 1] if i + 1 < len(numbers) else '∅'}"
            )
            out.append(f"r0={first.roles[i]}")
            self._add_last(out, one, last)
            self._add_phase(out, i)
            if targets:
                self._add_target(out, one, targets)
            role = first.roles[i]
            last[role] = one
            if role == "target":
                targets.append((i, "s" if self._in_seconds(one) else "r"))
        coming: dict[str, NumberMention] = {}
        for i in range(len(numbers) - 1, -1, -1):
            for role in ("rep", "left", "hold", "clock", "target"):
                other = coming.get(role)
                if other is not None and other.time - numbers[i].time < 40:
                    rows[i].append(f"next {role}={view._relation(numbers[i], other)}")
            coming[first.roles[i]] = numbers[i]
        self._add_company(rows)
        self._add_stretches(rows)

    def _add_stretches(self, rows: list[list[str]]) -> None:
        """Say of every number in a set what the whole set looks like, together with its own shape and place."""
        view, first = self.view, self.first
        numbers, mentions = view.numbers, view.mentions
        members: dict[int, list[int]] = {}
        for i, mine in enumerate(first.sets):
            if mine is not None:
                members.setdefault(mine, []).append(i)
        for mine, inside in members.items():
            looks = self._looks(mine, inside)
            last = inside[-1]
            chant_of = {i: self._shape(i) for i in inside}
            for i in inside:
                place = "last" if i == last else "inner"
                tail = view.down_after[i].far == 1 and view.down_after[i].far_index == last
                shape = f"{chant_of[i]}|{place}|tail={tail}"
                rows[i] += [f"set {look}" for look in looks]
                rows[i] += [f"set {look}|{chant_of[i]}" for look in looks]
                rows[i] += [f"set {look}|{shape}" for look in looks]
        before: dict[int, int] = {}
        spans = work_spans(first.phases)
        for i, one in enumerate(numbers):
            if first.sets[i] is not None:
                continue
            at = mentions.utterance_of[one.words[0]]
            coming = next((s for s, (a, _) in enumerate(spans) if a > at), None)
            if coming is None:
                continue
            before[i] = coming
            rows[i].append(f"before set|utterances={min(spans[coming][0] - at, 5)}")
            inside = members.get(coming, [])
            if inside:
                if one.value == numbers[inside[-1]].value or any(
                    numbers[j].value == one.value and first.roles[j] == "rep" for j in inside
                ):
                    rows[i].append("coming set counts to it")
                length = mentions.utterances[spans[coming][1] - 1].end - mentions.utterances[spans[coming][0]].start
                if abs(length - one.value) <= max(2.0, 0.1 * one.value):
                    rows[i].append("coming set lasts it")

    def _shape(self, i: int) -> str:
        view = self.view
        one = view.numbers[i]
        chant = len([n for n in view._numbers_of(view._utterance(one)) if n.form in _SPOKEN]) > 1
        up = view.up_before[i].length + view.up_after[i].length
        down = view.down_before[i].length + view.down_after[i].length
        way = "up" if up > down else ("down" if down > up else "level")
        return f"{'chant' if chant else 'lone'} {way}"

    def _looks(self, mine: int, inside: list[int]) -> list[str]:
        """Name what a set looks like as a whole."""
        view, first, mentions = self.view, self.first, self.view.mentions
        spans = work_spans(first.phases)
        a, b = spans[mine]
        gap = max(spans[mine - 1][1] if mine else 0, a - 6)
        out = []
        signs: set[str] = set()
        for at in range(gap, min(a + 1, b)):
            signs |= view.telling(at)
        out += [f"said {sign}" for sign in signs & {"seconds", "breaths", "holding", "pulsing", "tempo", "uncounted"}]
        length = mentions.utterances[b - 1].end - mentions.utterances[a].start
        numbers = view.numbers
        target, unit = None, "none"
        for j in range(inside[0] - 1, max(-1, inside[0] - 8), -1):
            other = numbers[j]
            if mentions.utterance_of[other.words[0]] < gap:
                break
            if first.roles[j] == "target":
                target = other.value
                near = set().union(*mentions.signs_at[other.words[1] : other.words[1] + 2])
                unit = next((u for u in ("breaths", "seconds", "reps") if u in near), "bare")
                break
        out.append(f"target {unit}")
        if target:
            share = bucket(length / target, (0.8, 0.93, 1.07, 1.25, 1.8, 3.0))
            out.append(f"target {unit}|length share={share}")
        for one in reversed(mentions.exercises):
            at = mentions.utterance_of[one.words[0]]
            if at <= a and one.doing >= 0.4:
                if a - at < 12 and one.exercise is not None:
                    out.append(f"usual {mentions.usual_units.get(one.exercise, 'none')}")
                break
        shapes = [self._shape(i) for i in inside if numbers[i].form != "half"]
        chants = sum(shape.startswith("chant") for shape in shapes)
        out.append(f"chants={bucket(chants, (1, 3, 6))}|lones={bucket(len(shapes) - chants, (1, 2, 4))}")
        ones = sum(1 for i in inside if numbers[i].value == 1 and numbers[i].form in {"word", "figure", "soundalike"})
        out.append(f"ones={min(ones, 3)}|chants={bucket(chants, (1, 3, 6))}")
        biggest = max((numbers[i].value for i in inside if first.roles[i] == "rep"), default=0)
        if target and biggest:
            out.append(f"reps to target={biggest == target}")
        return out

    def _in_seconds(self, one: NumberMention) -> bool:
        signs = self.view.mentions.signs_at
        return any("seconds" in signs[k] for k in range(one.words[1], min(one.words[1] + 2, len(signs))))

    def _add_last(self, out: list[str], one: NumberMention, last: dict[str, NumberMention]) -> None:
        view = self.view
        for role in COUNTED:
            other = last.get(role)
            if other is None:
                continue
            elapsed = one.time - other.time
            if elapsed < 45:
                relation = view._relation(other, one)
                out.append(f"last {role}={relation}")
                if one.value > other.value:
                    pace = bucket(elapsed / max(1.0, one.value - other.value), PACES)
                    out.append(f"last {role}|pace={view.grain}{pace}")
                else:
                    out.append(f"last {role}={relation}|{view.grain}gap={bucket(elapsed, GAPS)}")

    def _add_target(self, out: list[str], one: NumberMention, targets: list[tuple[int, str]]) -> None:
        i, unit = targets[-1]
        target = self.view.numbers[i]
        elapsed = one.time - target.time
        if elapsed > 150:
            return
        relation = "=" if one.value == target.value else ("<" if one.value < target.value else ">")
        out += [f"target{relation}{unit}", f"target{relation}{unit}|since={bucket(elapsed, GAPS)}"]
        if unit == "s":
            share = elapsed / max(1.0, target.value)
            out.append(f"target share={bucket(share, (0.3, 0.7, 1.2, 1.8))}|{relation}")
        left = target.value - (elapsed if unit == "s" else 0.0)
        if unit == "s" and abs(left + 3.0 - one.value) <= 3.5:
            out.append("what the clock would show")

    def _add_phase(self, out: list[str], i: int) -> None:
        view, first = self.view, self.first
        at = view._utterance(view.numbers[i])
        phase = first.phases[at]
        out.append(f"phase={phase}")
        after = first.phases[at + 1] if at + 1 < len(first.phases) else "∅"
        out.append(f"phase={phase}|then={after}")
        mine = first.sets[i]
        before = first.sets[i - 1] if i else None
        later = first.sets[i + 1] if i + 1 < len(first.sets) else None
        if mine is not None:
            out.append(f"in set|first={before != mine}|last={later != mine}")

    def _add_company(self, rows: list[list[str]]) -> None:
        """Say which roles the numbers of the same set have."""
        first = self.first
        company: dict[int, dict[str, int]] = {}
        for role, mine in zip(first.roles, first.sets, strict=True):
            if mine is not None:
                roles = company.setdefault(mine, {})
                roles[role] = roles.get(role, 0) + 1
        for i, mine in enumerate(first.sets):
            if mine is None:
                continue
            for role, n in company[mine].items():
                others = n - (first.roles[i] == role)
                if others > 0 and role in COUNTED:
                    rows[i].append(f"with {role}={min(others, 3)}")
