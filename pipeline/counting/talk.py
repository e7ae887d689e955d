"""What can be seen of an utterance before any number has a role: words, signs, exercises, pauses.

Phases are read twice, each time with other roles at hand (``phases.py``); what is seen here stays the same.
"""

from __future__ import annotations

from functools import lru_cache

from pipeline.counting.buckets import bucket
from pipeline.counting.roles import NumberView

#: Upper edges of the buckets for a silence and for how far off something is (seconds), and for how far on the class
#: is (share of it).
SILENCES = (0.4, 0.9, 1.8, 3.5, 6.0, 10.0)
DISTANCES = (1.5, 3.0, 5.0, 8.0, 12.0, 20.0, 40.0)
PROGRESS = (0.03, 0.07, 0.3, 0.85, 0.93, 0.97)
#: An utterance is seen with those this many before and after it.
NEIGHBOURS = (-2, -1, 1, 2)
_SIGNS_AHEAD = ("start", "switch", "rest", "outro", "next", "back")
_SIGNS_BEHIND = (*_SIGNS_AHEAD, "stop")


class Talk:
    """The features of every utterance of one class that do not depend on roles.

    ``signs`` and ``exercises`` hold what each utterance shows of either; ``rows`` are the features.
    ``exercise_ahead`` and ``turned_behind`` hold for each utterance where the next exercise is mentioned (``None``
    for nowhere), and where last a new one was turned to (-1 for nowhere).
    """

    def __init__(self, view: NumberView) -> None:
        self.view, self.utterances, self.grain = view, view.mentions.utterances, view.neighbours.grain
        self.signs = view.neighbours.signs_of
        self.exercises = self._exercise_signs()
        count = len(self.utterances)
        postures = self._postures()
        short = [
            [*(f"sign {sign}" for sign in self.signs[at]), *self.exercises[at], *postures[at]] for at in range(count)
        ]
        self.rows = [[*self._own(at), *short[at]] for at in range(count)]
        for at, row in enumerate(self.rows):
            for d in NEIGHBOURS:
                if 0 <= at + d < count:
                    row += [f"{d:+d} {name}" for name in short[at + d]]
        self.exercise_ahead: list[int | None] = [None] * count
        self.turned_behind = [-1] * count
        self._add_ahead()
        self._add_behind()

    def add_ahead(self, out: list[str], at: int, name: str, far: int) -> float:
        """Say how far ahead of utterance ``at`` something is, in utterance ``far``; return it in seconds."""
        seconds = self.utterances[far].start - self.utterances[at].start
        out += [
            f"ahead {name}|{self.grain}in={bucket(seconds, DISTANCES)}",
            f"ahead {name}|after={min(far - at, 6)}",
        ]
        return seconds

    def add_behind(self, out: list[str], at: int, name: str, far: int) -> float:
        """Say how long before utterance ``at`` something was, in utterance ``far``; return it in seconds."""
        seconds = self.utterances[at].start - self.utterances[far].end
        out += [
            f"behind {name}|{self.grain}for={bucket(seconds, DISTANCES)}",
            f"behind {name}|after={min(at - far, 5)}",
        ]
        return seconds

    def _own(self, at: int) -> list[str]:
        one = self.utterances[at]
        tokens = [self.view.token(k) for k in range(one.first, one.stop)]
        out = ["bias", f"first={tokens[0]}", f"first two={' '.join(tokens[:2])}", f"last={tokens[-1]}"]
        out += [f"has {token}" for token in set(tokens)]
        length = one.stop - one.first
        out.append(f"length={bucket(length, (2, 3, 4, 6, 8, 10))}")
        text = self.view.mentions.transcript.words[one.stop - 1].text
        out.append(f"mark={text[-1] if text[-1:] in ',.!?…' else '_'}")
        opening = self.utterances[0].start
        total = max(1.0, self.utterances[-1].end - opening)
        out.append(f"progress={bucket((one.start - opening) / total, PROGRESS)}")
        before = one.start - self.utterances[at - 1].end if at else 9.0
        after = self.utterances[at + 1].start - one.end if at + 1 < len(self.utterances) else 9.0
        out += [
            f"{self.grain}silence before={bucket(before, SILENCES)}",
            f"{self.grain}silence after={bucket(after, SILENCES)}",
        ]
        return out

    def _exercise_signs(self) -> list[list[str]]:
        out: list[list[str]] = [[] for _ in self.utterances]
        seen: dict[str, int] = {}
        last: str | None = None
        mentions = self.view.mentions
        for one in sorted(mentions.exercises, key=lambda m: m.words):
            at = mentions.utterance_of[one.words[0]]
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

    def _postures(self) -> list[list[str]]:
        """Say where a posture is spoken of, and whether it is another one than last."""
        out: list[list[str]] = [[] for _ in self.utterances]
        last = ""
        mentions = self.view.mentions
        for label, first, _ in mentions.signs:
            if not label.startswith("posture/"):
                continue
            posture = label.removeprefix("posture/")
            out[mentions.utterance_of[first]] += ["posture", "posture new" if posture != last else "posture same"]
            last = posture
        return [sorted(set(names)) for names in out]

    def _names_exercise(self, at: int) -> bool:
        return any(name.startswith("exercise ") for name in self.exercises[at])

    def _add_ahead(self) -> None:
        """Say how far ahead the next starts, switches and exercises are."""
        coming: dict[str, int] = {}
        for at in range(len(self.rows) - 1, -1, -1):
            for name, far in coming.items():
                self.add_ahead(self.rows[at], at, name, far)
            self.exercise_ahead[at] = coming.get("exercise")
            coming.update((sign, at) for sign in _SIGNS_AHEAD if sign in self.signs[at])
            if self._names_exercise(at):
                coming["exercise"] = at

    def _add_behind(self) -> None:
        """Say how long ago the last starts, stops and exercises were."""
        past: dict[str, int] = {}
        for at, row in enumerate(self.rows):
            for name, far in past.items():
                self.add_behind(row, at, name, far)
            self.turned_behind[at] = max(past.get("exercise", -1), past.get("next", -1))
            past.update((sign, at) for sign in _SIGNS_BEHIND if sign in self.signs[at])
            if self._names_exercise(at):
                past["exercise"] = at


@lru_cache(maxsize=1)
def talk_of(view: NumberView) -> Talk:
    """Return what the readings of one class share; they follow one another, so only the last class is kept."""
    return Talk(view)
