"""The gaps between the sets of one class, and what was said in them."""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.counting.decode import Decoded
from pipeline.counting.phases import PHASES
from pipeline.mentions.exercises import ExerciseMention
from pipeline.mentions.hear import Mentions

DONE = 0.35
"""A name counts as an exercise that is done, not only mentioned, from this ``doing`` on."""


@dataclass(frozen=True, slots=True)
class Gap:
    """The utterances ``first`` to ``begins``, with which a set begins.

    ``places`` are those at which a turn may be: where a rest is announced in the gap, only what follows it.
    ``lead_in`` are those that led in the set before, up to its first one; ``None`` where there is no set before.
    """

    first: int
    begins: int
    places: range
    rests: bool
    lead_in: range | None


class Scene:
    """Looks up what was said in the gaps of one class; ``signs``, ``named`` and ``roles`` have a row an utterance."""

    def __init__(self, decoded: Decoded, mentions: Mentions) -> None:
        self.decoded, self.mentions = decoded, mentions
        self.utterances = mentions.utterances
        count = len(self.utterances)
        self.signs: list[set[str]] = [set() for _ in range(count)]
        for label, first, _ in mentions.signs:
            self.signs[mentions.utterance_of[first]].add(label)
        self.named: list[list[ExerciseMention]] = [[] for _ in range(count)]
        for one in mentions.exercises:
            self.named[mentions.utterance_of[one.words[0]]].append(one)
        self.roles: list[set[str]] = [set() for _ in range(count)]
        for role, number in zip(decoded.roles, mentions.numbers, strict=True):
            self.roles[mentions.utterance_of[number.words[0]]].add(role)
        self.gaps = self._gaps()

    def _gaps(self) -> list[Gap]:
        gaps: list[Gap] = []
        for i, (begins, _) in enumerate(self.decoded.spans):
            first = self.decoded.spans[i - 1][1] if i else min(1, begins)
            rests = [at for at in range(first, begins + 1) if self.decoded.phases[at] == "rest"]
            places = range(min(rests[-1] + 1 if rests else first, begins), begins + 1)
            lead_in = range(gaps[-1].first if i > 1 else 0, gaps[-1].begins + 1) if i else None
            gaps.append(Gap(first, begins, places, bool(rests), lead_in))
        return gaps

    def chance(self, at: int, phase: str = "turn") -> float:
        """Return how likely the phases take an utterance for a turn, or for another phase."""
        return float(self.decoded.phase_chances[at, PHASES.index(phase)])

    def written(self, at: int) -> str:
        """Return an utterance as it is written."""
        return self.mentions.transcript.text((self.utterances[at].first, self.utterances[at].stop))

    def tokens(self, first: int, stop: int) -> tuple[str, ...]:
        """Return the words of utterances ``first`` to ``stop`` (exclusive), plain and in lower case."""
        return self.mentions.tokens[self.utterances[first].first : self.utterances[stop - 1].stop]

    def text(self, first: int, stop: int) -> str:
        """Return the same words, joined by blanks."""
        return " ".join(self.tokens(first, stop))

    def exercises(self, first: int, stop: int) -> set[str]:
        """Return the exercises that were named as done in utterances ``first`` to ``stop`` (exclusive)."""
        return {
            one.exercise
            for named in self.named[first:stop]
            for one in named
            if one.exercise is not None and one.doing >= DONE and one.heard != "sound"
        }

    def done_before(self, gap: Gap) -> set[str]:
        """Return what was named as done from where the set before the gap was led in."""
        return set() if gap.lead_in is None else self.exercises(gap.lead_in.start, gap.first)
