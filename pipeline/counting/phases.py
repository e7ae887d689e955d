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

from collections.abc import Sequence

from pipeline.counting.roles import COUNTED, NumberView, bucket
from pipeline.mentions.hear import Mentions
from pipeline.mentions.numbers import NumberMention

PHASES = (
    "intro", "turn", "setup", "begin", "work", "after", "rest", "resting", "close", "closing",
)  # fmt: skip
SILENCES = (0.4, 0.9, 1.8, 3.5, 6.0, 10.0)
DISTANCES = (1.5, 3.0, 5.0, 8.0, 12.0, 20.0, 40.0)
SHARES = (0.25, 0.5, 0.8, 0.93, 1.03, 1.12, 1.3, 1.7)
OFFSETS = (-3.0, -2.0, -1.4, -0.8, -0.3, 0.3, 0.8, 1.4, 2.0, 3.0)
PROGRESS = (0.03, 0.07, 0.3, 0.85, 0.93, 0.97)
_CALLS = frozenset({"rep", "left", "hold", "clock"})


class UtteranceView:
    """Computes the features of every utterance of one class, given the roles of its numbers."""

    def __init__(self, mentions: Mentions, view: NumberView, roles: Sequence[str]) -> None:
        self.mentions, self.view, self.roles = mentions, view, roles
        self.utterances = mentions.utterances
        self.grain = view.grain
        self._numbers: list[list[int]] = [[] for _ in self.utterances]
        for i, one in enumerate(mentions.numbers):
            self._numbers[mentions.utterance_of[one.words[0]]].append(i)
        self._signs = [
            set().union(*mentions.signs_at[u.first : u.stop]) if u.stop > u.first else set() for u in self.utterances
        ]
        self._exercises = self._exercise_signs()
        self._calls = [[i for i in row if roles[i] in _CALLS or roles[i] == "tempo"] for row in self._numbers]

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
        rows = [self._own(at) for at in range(len(self.utterances))]
        short = [self._short(at) for at in range(len(self.utterances))]
        for at, row in enumerate(rows):
            for d in (-2, -1, 1, 2):
                if 0 <= at + d < len(rows):
                    row += [f"{d:+d} {name}" for name in short[at + d]]
        self._add_clock(rows)
        self._add_ahead(rows)
        self._add_behind(rows)
        return rows

    def _own(self, at: int) -> list[str]:
        one = self.utterances[at]
        tokens = [self.view.token(k) for k in range(one.first, one.stop)]
        out = ["bias", f"first={tokens[0]}", f"first two={' '.join(tokens[:2])}", f"last={tokens[-1]}"]
        out += [f"has {token}" for token in set(tokens)]
        length = one.stop - one.first
        out.append(f"length={bucket(length, (2, 3, 4, 6, 8, 10))}")
        text = self.mentions.transcript.words[one.stop - 1].text
        out.append(f"mark={text[-1] if text[-1:] in ',.!?…' else '_'}")
        out += self._short(at)
        opening = self.utterances[0].start
        total = max(1.0, self.utterances[-1].end - opening)
        out.append(f"progress={bucket((one.start - opening) / total, PROGRESS)}")
        before = one.start - self.utterances[at - 1].end if at else 9.0
        after = self.utterances[at + 1].start - one.end if at + 1 < len(self.utterances) else 9.0
        out += [
            f"{self.grain}silence before={bucket(before, SILENCES)}",
            f"{self.grain}silence after={bucket(after, SILENCES)}",
        ]
        if self._calls[at]:
            out += self._call_features(at)
        return out

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
        best = None
        for i, one in enumerate(self.mentions.numbers):
            if one.time >= time:
                break
            if self.roles[i] == "target" and time - one.time < 120:
                best = i
        return best

    def _short(self, at: int) -> list[str]:
        out = [f"sign {sign}" for sign in self._signs[at]]
        out += self._exercises[at]
        out += [f"role {role}" for role in {self.roles[i] for i in self._numbers[at]}]
        if self._calls[at]:
            out.append("calls")
        return out

    def _exercise_signs(self) -> list[list[str]]:
        out: list[list[str]] = [[] for _ in self.utterances]
        seen: dict[str, int] = {}
        last: str | None = None
        for one in sorted(self.mentions.exercises, key=lambda m: m.words):
            at = self.mentions.utterance_of[one.words[0]]
            key = one.exercise or one.name.lower()
            strength = bucket(one.doing, (0.35, 0.5, 0.75))
            names = [f"exercise {strength}", f"exercise heard {one.heard}"]
            if one.doing >= 0.35:
                names.append("exercise same" if key == last else ("exercise again" if key in seen else "exercise new"))
                last = key
                seen[key] = at
            if one.words[0] - self.utterances[at].first <= 3:
                names.append("exercise early")
            out[at] = sorted(set(out[at]) | set(names))
        return out

    def _add_ahead(self, rows: list[list[str]]) -> None:
        """Say how far ahead the next calls, targets, starts and exercises are, and what they are."""
        numbers, roles = self.mentions.numbers, self.roles
        coming: dict[str, tuple[int, int | None]] = {}
        for at in range(len(rows) - 1, -1, -1):
            one = self.utterances[at]
            for name, (far, i) in coming.items():
                seconds = self.utterances[far].start - one.start
                out = rows[at]
                out.append(f"ahead {name}|{self.grain}in={bucket(seconds, DISTANCES)}")
                out.append(f"ahead {name}|after={min(far - at, 6)}")
                if i is not None and seconds < 20:
                    out.append(f"ahead {name}={min(numbers[i].value, 3):.0f}|after={min(far - at, 4)}")
            first = self._nearest(coming, at)
            if first is not None:
                rows[at].append(f"ahead first={first}")
            for i in reversed(self._numbers[at]):
                if roles[i] in COUNTED or roles[i] in {"target", "rounds"}:
                    coming[roles[i]] = (at, i)
            for sign in ("start", "switch", "rest", "outro", "next", "back"):
                if sign in self._signs[at]:
                    coming[sign] = (at, None)
            if any(name.startswith("exercise ") for name in self._exercises[at]):
                coming["exercise"] = (at, None)

    @staticmethod
    def _nearest(coming: dict[str, tuple[int, int | None]], at: int) -> str | None:
        kinds = [(far, name) for name, (far, _) in coming.items() if name in COUNTED or name in {"target", "exercise"}]
        return min(kinds)[1] if kinds else None

    def _add_behind(self, rows: list[list[str]]) -> None:
        """Say how long ago the last calls, targets, starts and exercises were, and what they were."""
        numbers, roles = self.mentions.numbers, self.roles
        past: dict[str, tuple[int, int | None]] = {}
        for at, one in enumerate(self.utterances):
            for name, (far, i) in past.items():
                seconds = one.start - self.utterances[far].end
                out = rows[at]
                out.append(f"behind {name}|{self.grain}for={bucket(seconds, DISTANCES)}")
                out.append(f"behind {name}|after={min(at - far, 5)}")
                if i is not None and seconds < 20 and at - far <= 3:
                    out.append(f"behind {name}={min(numbers[i].value, 3):.0f}|after={at - far}")
            latest = max(
                ((far, name) for name, (far, _) in past.items() if name in COUNTED or name == "target"),
                default=None,
            )
            if latest is not None:
                out.append(f"behind last={latest[1]}")
                after_call = any(n in past and past[n][0] >= latest[0] for n in ("exercise", "next"))
                out.append(f"behind last={latest[1]}|turned={after_call}")
            for i in self._numbers[at]:
                if roles[i] in COUNTED or roles[i] in {"target", "rounds"}:
                    past[roles[i]] = (at, i)
            for sign in ("start", "stop", "switch", "rest", "outro", "next", "back"):
                if sign in self._signs[at]:
                    past[sign] = (at, None)
            if any(name.startswith("exercise ") for name in self._exercises[at]):
                past["exercise"] = (at, None)

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
            run = self.view.up_after[i]
            done = one.value
        else:
            run = self.view.down_after[i]
            target = self._target_before(one.time)
            if target is None:
                return None
            done = max(0.0, self.mentions.numbers[target].value - one.value)
        if run.length < 2 or run.pace <= 0:
            return None
        return one.time - done * run.pace, run.pace
