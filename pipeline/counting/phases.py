"""Phases: what each utterance of a class does, and the features from which that is read.

=========  ==============================================================================
phase      the utterance …
=========  ==============================================================================
intro      belongs to the welcome
turn       is where the presenter turns to an exercise: a chapter starts
setup      says how it is done, how many, what to mind, before the set
begin      is the first of a working set
work       is inside a working set
after      follows a set (praise, putting down, changing sides) in the same chapter
rest       starts an announced rest
resting    belongs to it
close      starts the outro
closing    belongs to it
=========  ==============================================================================
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

from pipeline.counting.buckets import bucket
from pipeline.counting.roles import COUNTED, NumberView
from pipeline.counting.talk import DISTANCES, NEIGHBOURS, talk_of
from pipeline.mentions.hear import Mentions
from pipeline.mentions.numbers import NumberMention

PHASES = (
    "intro", "turn", "setup", "begin", "work", "after", "rest", "resting", "close", "closing",
)  # fmt: skip
SHARES = (0.25, 0.5, 0.8, 0.93, 1.03, 1.12, 1.3, 1.7)
OFFSETS = (-3.0, -2.0, -1.4, -0.8, -0.3, 0.3, 0.8, 1.4, 2.0, 3.0)
_CALLS = frozenset({"rep", "left", "hold", "clock"})
_TOLD = COUNTED | {"target", "rounds"}


class UtteranceView:
    """Computes the features of every utterance of one class, given the roles of its numbers."""

    def __init__(self, mentions: Mentions, view: NumberView, roles: Sequence[str]) -> None:
        self.mentions, self.view, self.roles = mentions, view, roles
        self.utterances = mentions.utterances
        self.grain = view.neighbours.grain
        self._numbers: list[list[int]] = [[] for _ in self.utterances]
        for i, one in enumerate(mentions.numbers):
            self._numbers[mentions.utterance_of[one.words[0]]].append(i)
        self._talk = talk_of(view)
        self._signs, self._exercises = self._talk.signs, self._talk.exercises
        self._calls = [[i for i in row if roles[i] in _CALLS or roles[i] == "tempo"] for row in self._numbers]
        self._targets = [i for i, role in enumerate(roles) if role == "target"]
        self._target_times = [mentions.numbers[i].time for i in self._targets]

    def steps(self) -> list[list[str]]:
        """Return the feature names of the step into every utterance."""
        out: list[list[str]] = []
        for at, one in enumerate(self.utterances):
            if at == 0:
                out.append([])
                continue
            gap = one.start - self.utterances[at - 1].end
            row = ["any", f"{self.grain}long gap={gap > 1.8}"]
            if self._calls[at]:
                row.append("calls here")
            if self._calls[at - 1]:
                row.append("calls before")
            out.append(row)
        return out

    def items(self) -> list[list[str]]:
        """Return the feature names of every utterance, in order."""
        rows = [list(row) for row in self._talk.rows]
        short = [self._short(at) for at in range(len(self.utterances))]
        for at, row in enumerate(rows):
            row += short[at]
            if self._calls[at]:
                row += self._call_features(at)
            for d in NEIGHBOURS:
                if 0 <= at + d < len(rows):
                    row += [f"{d:+d} {name}" for name in short[at + d]]
        self._add_clock(rows)
        self._add_ahead(rows)
        self._add_behind(rows)
        return rows

    def _call_features(self, at: int) -> list[str]:
        out = []
        rows = self._calls[at]
        last = rows[-1]
        numbers, roles = self.mentions.numbers, self.roles
        for i in rows:
            value = numbers[i].value
            role = roles[i]
            out.append(f"call {role}={min(value, 3):.0f}")
            before = self._previous_call(i)
            if before is not None and roles[before] == role:
                change = value - numbers[before].value
                elapsed = numbers[i].time - numbers[before].time
                out.append(f"call {role} {'up' if change > 0 else 'same' if change == 0 else 'down'}")
                out.append(f"call {role} {'up' if change > 0 else 'down'} after={bucket(elapsed, DISTANCES)}")
        if roles[last] in {"left", "clock", "hold"} and numbers[last].value == 1:
            out.append(f"down to one by {roles[last]}|calls={min(len(rows), 3)}")
        target = self._target_before(numbers[last].time)
        if target is not None and numbers[last].value == numbers[target].value:
            out.append(f"target reached by {roles[last]}")
        return out

    def _previous_call(self, i: int) -> int | None:
        for j in range(i - 1, max(-1, i - 25), -1):
            if self.roles[j] in _CALLS:
                return j
        return None

    def _target_before(self, time: float) -> int | None:
        k = bisect_left(self._target_times, time) - 1
        return self._targets[k] if k >= 0 and time - self._target_times[k] < 120 else None

    def _short(self, at: int) -> list[str]:
        out = [f"role {role}" for role in {self.roles[i] for i in self._numbers[at]}]
        if self._calls[at]:
            out.append("calls")
        return out

    def _add_ahead(self, rows: list[list[str]]) -> None:
        """Say how far ahead the next calls and targets are, and what they are."""
        numbers, roles = self.mentions.numbers, self.roles
        coming: dict[str, tuple[int, int]] = {}
        for at in range(len(rows) - 1, -1, -1):
            out = rows[at]
            for name, (far, i) in coming.items():
                seconds = self._talk.add_ahead(out, at, name, far)
                if seconds < 20:
                    out.append(f"ahead {name}={min(numbers[i].value, 3):.0f}|after={min(far - at, 4)}")
            kinds = [(far, name) for name, (far, _) in coming.items() if name != "rounds"]
            exercise = self._talk.exercise_ahead[at]
            if exercise is not None:
                kinds.append((exercise, "exercise"))
            if kinds:
                out.append(f"ahead first={min(kinds)[1]}")
            for i in reversed(self._numbers[at]):
                if roles[i] in _TOLD:
                    coming[roles[i]] = (at, i)

    def _add_behind(self, rows: list[list[str]]) -> None:
        """Say how long ago the last calls and targets were, and what they were."""
        numbers, roles = self.mentions.numbers, self.roles
        past: dict[str, tuple[int, int]] = {}
        for at, out in enumerate(rows):
            for name, (far, i) in past.items():
                seconds = self._talk.add_behind(out, at, name, far)
                if seconds < 20 and at - far <= 3:
                    out.append(f"behind {name}={min(numbers[i].value, 3):.0f}|after={at - far}")
            latest = max(((far, name) for name, (far, _) in past.items() if name != "rounds"), default=None)
            if latest is not None:
                turned = self._talk.turned_behind[at] >= latest[0]
                out += [f"behind last={latest[1]}", f"behind last={latest[1]}|turned={turned}"]
            for i in self._numbers[at]:
                if roles[i] in _TOLD:
                    past[roles[i]] = (at, i)

    def _add_clock(self, rows: list[list[str]]) -> None:
        """Say where an utterance stands on the clock of the count or interval that it may belong to."""
        numbers, roles = self.mentions.numbers, self.roles
        for at, one in enumerate(self.utterances):
            upcoming = self._first_call_from(at)
            if upcoming is not None:
                start = self._expected_start(upcoming)
                if start is not None:
                    begun, pace = start
                    rows[at].append(f"from expected start={bucket((one.start - begun) / pace, OFFSETS)}")
        seconds_target: NumberMention | None = None
        started: dict[str, float] = {}
        for at, one in enumerate(self.utterances):
            if seconds_target is not None:
                for name, begun in started.items():
                    share = (one.start - begun) / max(1.0, seconds_target.value)
                    ends = (one.end - begun) / max(1.0, seconds_target.value)
                    rows[at].append(f"since {name}={bucket(share, SHARES)}")
                    rows[at].append(f"end since {name}={bucket(ends, SHARES)}")
            for i in self._numbers[at]:
                if roles[i] == "target" and self._is_seconds(numbers[i]):
                    seconds_target = numbers[i]
                if roles[i] == "countin":
                    started["count-in"] = one.end
            if "start" in self._signs[at] or "holding" in self._signs[at]:
                started["start"] = one.start

    def _is_seconds(self, one: NumberMention) -> bool:
        signs = self.mentions.signs_at
        return one.value >= 8 and any(
            "seconds" in signs[k] for k in range(one.words[1], min(one.words[1] + 2, len(signs)))
        )

    def _first_call_from(self, at: int) -> int | None:
        for later in range(at, min(at + 6, len(self.utterances))):
            for i in self._numbers[later]:
                if self.roles[i] in {"rep", "left"}:
                    return i
        return None

    def _expected_start(self, i: int) -> tuple[float, float] | None:
        """When the first rep of the count that number ``i`` belongs to would have begun, and its pace (seconds)."""
        one = self.mentions.numbers[i]
        if self.roles[i] == "rep":
            run = self.view.neighbours.up_after[i]
            done = one.value
        else:
            run = self.view.neighbours.down_after[i]
            target = self._target_before(one.time)
            if target is None:
                return None
            done = max(0.0, self.mentions.numbers[target].value - one.value)
        if run.length < 2 or run.pace <= 0:
            return None
        return one.time - done * run.pace, run.pace
