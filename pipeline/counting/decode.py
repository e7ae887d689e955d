"""The reading of a class: a role for every number and a phase for every utterance.

Roles and phases depend on each other, so they are read in turn: roles from the words and the clock, phases from
those roles, then both once more with the other at hand. Each reading is a best path over the whole class.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from pipeline.counting.chain import ChainModel, Reading, load_models, read_chain
from pipeline.counting.count_ins import open_with_count_ins
from pipeline.counting.hindsight import FirstReading, look_again
from pipeline.counting.phases import UtteranceView
from pipeline.counting.restarts import cut_restarts
from pipeline.counting.roles import NumberView
from pipeline.counting.spans import work_spans
from pipeline.mentions.hear import Mentions
from pipeline.mentions.numbers import NumberMention

if TYPE_CHECKING:
    from pipeline.counting.chain import Matrix


_RANGES = frozenset({"lower_range", "upper_range"})
_LAST = frozenset({("last",), ("final",)})
_TO_GO = frozenset({("to", "go"), ("to", "come")})
#: "Four left leg" says a side, not what is left.
_PARTS = frozenset({"leg", "legs", "arm", "arms", "side", "foot", "hand", "knee", "hip"})


@dataclass(frozen=True)
class Decoded:
    """Roles (one a number mention) and phases (one an utterance), with the chance of each (0 to 1).

    ``spans`` are the working stretches as ranges of utterances, first to stop; ``labels`` name the columns of
    ``role_chances``.
    """

    view: NumberView
    roles: tuple[str, ...]
    role_chances: Matrix
    phases: tuple[str, ...]
    phase_chances: Matrix
    spans: tuple[tuple[int, int], ...]
    labels: tuple[str, ...]

    def with_roles(self, roles: Sequence[str]) -> Decoded:
        """Return the same reading with other roles."""
        return replace(self, roles=tuple(roles))

    def told(self, numbers: Collection[int], role: str) -> Decoded:
        """Return the same reading where ``numbers`` have a role, as surely as they had their own."""
        chances = self.role_chances.copy()
        to = self.labels.index(role)
        for i in numbers:
            was = self.labels.index(self.roles[i])
            chances[i, [was, to]] = chances[i, [to, was]]
        roles = [role if i in numbers else kept for i, kept in enumerate(self.roles)]
        return replace(self, roles=tuple(roles), role_chances=chances)


def decode(mentions: Mentions, models: Mapping[str, ChainModel] | None = None) -> Decoded:
    """Read a class; ``models`` default to the shipped weights."""
    models = models or load_models()
    view = NumberView(mentions)
    moves = view.steps()
    rows = view.items()
    roles = read_chain(models["roles"], rows, moves)
    for again in ("", " again"):
        utterances = UtteranceView(mentions, view, roles.labels)
        phases = read_chain(models[f"phases{again}"], utterances.items(), utterances.steps())
        if not again:
            first = hindsight(mentions, roles, phases)
            roles = read_chain(models["roles again"], look_again(view, first), moves)
    settled = said_to_remain(mentions, halves_of_ranges(mentions, roles.labels))
    settled, opened = open_with_count_ins(mentions, settled, phases.labels)
    settled, labels = open_with_count_ins(mentions, settled, cut_restarts(mentions, settled, opened))
    return Decoded(
        view,
        settled,
        roles.chances,
        labels,
        phases.chances,
        tuple(work_spans(labels)),
        models["roles again"].labels,
    )


def halves_of_ranges(mentions: Mentions, roles: Sequence[str]) -> tuple[str, ...]:
    """Return the roles with the half of a movement told from the half of a set: "top half only", "halfway up"."""
    signs = mentions.signs_at
    return tuple(
        "other" if role == "half" and any(_RANGES & signs[k] for k in range(*one.words)) else role
        for one, role in zip(mentions.numbers, roles, strict=True)
    )


def said_to_remain(mentions: Mentions, roles: Sequence[str]) -> tuple[str, ...]:
    """Return the roles with reps said to remain told from reps done: "four left", "last two", "three to go"."""
    return tuple(
        "left" if role == "rep" and remains(mentions, one) else role
        for one, role in zip(mentions.numbers, roles, strict=True)
    )


def remains(mentions: Mentions, one: NumberMention) -> bool:
    """Tell whether the words around a number say that as many are left."""
    first, stop = one.words
    utterance = mentions.utterances[mentions.utterance_of[first]]
    tokens = mentions.tokens[: utterance.stop]
    if tokens[max(first - 1, utterance.first) : first] in _LAST:
        return one.value > 1
    if mentions.transcript.words[stop - 1].text[-1] in ".,!?;:":
        return False
    sided = "right" in tokens[utterance.first :] or bool(_PARTS & set(tokens[stop + 1 : stop + 2]))
    if tokens[stop : stop + 1] == ("left",):
        return not sided
    return tokens[stop : stop + 1] == ("more",) or tokens[stop : stop + 2] in _TO_GO


def hindsight(mentions: Mentions, roles: Reading, phases: Reading) -> FirstReading:
    """Put a first reading of roles and phases into the form that the second reading looks at."""
    return FirstReading(roles.labels, phases.labels, set_of_numbers(mentions, phases.labels))


def set_of_numbers(mentions: Mentions, phases: Sequence[str]) -> list[int | None]:
    """Return for every number the index of the working stretch that it is spoken in."""
    of_utterance: dict[int, int] = {}
    for index, (first, stop) in enumerate(work_spans(phases)):
        of_utterance.update(dict.fromkeys(range(first, stop), index))
    return [of_utterance.get(mentions.utterance_of[one.words[0]]) for one in mentions.numbers]
