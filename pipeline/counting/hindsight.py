"""Hindsight: the features of a second reading of the numbers, which knows what the first made of their surroundings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.counting.buckets import GAPS, PACES, bucket
from pipeline.counting.neighbours import SPOKEN, Neighbours, relation
from pipeline.counting.roles import COUNTED, NumberView
from pipeline.counting.spans import work_spans
from pipeline.mentions.numbers import NumberMention


@dataclass(frozen=True)
class FirstReading:
    """What an earlier pass made of the class: a role a number, a phase an utterance, and their chances."""

    roles: Sequence[str]
    phases: Sequence[str]
    sets: Sequence[int | None]


def look_again(view: NumberView, first: FirstReading) -> list[list[str]]:
    """Return the feature names of every number, in order: those of ``view.items()`` and those of hindsight."""
    rows = [list(row) for row in view.items()]
    _Hindsight(view.neighbours, first).add_to(rows)
    return rows


class _Hindsight:
    """Adds to each number what the first reading made of its surroundings."""

    def __init__(self, view: Neighbours, first: FirstReading) -> None:
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
                    rows[i].append(f"next {role}={relation(numbers[i], other)}")
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
        chant = len([n for n in view.numbers_of(view.utterance(one)) if n.form in SPOKEN]) > 1
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
        ones = sum(1 for i in inside if numbers[i].value == 1 and numbers[i].form in SPOKEN)
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
                change = relation(other, one)
                out.append(f"last {role}={change}")
                if one.value > other.value:
                    pace = bucket(elapsed / max(1.0, one.value - other.value), PACES)
                    out.append(f"last {role}|pace={view.grain}{pace}")
                else:
                    out.append(f"last {role}={change}|{view.grain}gap={bucket(elapsed, GAPS)}")

    def _add_target(self, out: list[str], one: NumberMention, targets: list[tuple[int, str]]) -> None:
        i, unit = targets[-1]
        target = self.view.numbers[i]
        elapsed = one.time - target.time
        if elapsed > 150:
            return
        compared = "=" if one.value == target.value else ("<" if one.value < target.value else ">")
        out += [f"target{compared}{unit}", f"target{compared}{unit}|since={bucket(elapsed, GAPS)}"]
        if unit == "s":
            share = elapsed / max(1.0, target.value)
            out.append(f"target share={bucket(share, (0.3, 0.7, 1.2, 1.8))}|{compared}")
        left = target.value - (elapsed if unit == "s" else 0.0)
        if unit == "s" and abs(left + 3.0 - one.value) <= 3.5:
            out.append("what the clock would show")

    def _add_phase(self, out: list[str], i: int) -> None:
        view, first = self.view, self.first
        at = view.utterance(view.numbers[i])
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
