"""How likely a recogniser writes one string of sounds for another: an edit distance with learnt costs.

What a recogniser mishears is no accident: "stretch" loses its t, "band" becomes "bend" or "and", an s at the end comes
and goes. The costs are learnt from names that a small speech model misheard (``mishearing_counts.py``); where a
pair of sounds was hardly ever seen, what was seen between sounds of the same two kinds stands in for it. A cost is
the log odds that a sound was heard by chance and not for the sound spoken: below zero it speaks for the name.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING, Any, TypeAlias

from pipeline.mentions.mishearing_counts import HEARD_FOR

if TYPE_CHECKING:
    import numpy as np

    Array: TypeAlias = np.ndarray[Any, Any]

SOUNDS = "aAuoWYeREiIOQUwbCdDfghjklmnNprsStTvyzZ"
"""All phonemes, a letter each, as in ``sounds.py``."""
LOST = "-"
"""No sound: what is heard for one that was lost."""
KINDS = ("pb", "td", "kg", "fvTD", "szSZCj", "mnN", "l", "r", "yh", "aAuoUOWw", "iIeEYQR")
"""Sounds made alike: where counts are few, sounds of a kind share theirs."""
SHARED = 6.0
"""How many sightings what is shared by the kind weighs."""
SHARED_PUT_IN = 2.0
"""The same for sounds put in, in shares of all that were."""
AT_LEAST = 0.5
"""What a pair of kinds counts that was never seen."""


@dataclass(frozen=True, slots=True)
class Costs:
    """``substitution[spoken, heard]``, ``deletion[spoken]``, ``insertion[heard]``, by the order of ``SOUNDS``."""

    substitution: Array
    deletion: Array
    insertion: Array


def costs_of(counts: Mapping[str, Mapping[str, float]]) -> Costs:
    """Return the costs by counts of what was heard (keys inside) for what was spoken (keys outside)."""
    import numpy as np

    seen = np.array([[float(counts[one].get(other, 0)) for other in SOUNDS] for one in SOUNDS])
    lost = np.array([float(counts[one].get(LOST, 0)) for one in SOUNDS])
    put_in = np.array([float(counts[LOST].get(one, 0)) for one in SOUNDS])
    kind = np.array([next(at for at, kind in enumerate(KINDS) if one in kind) for one in SOUNDS])
    total, right = seen.sum(axis=1) + lost, np.diag(seen).sum()
    wrong = seen - np.diag(np.diag(seen))
    kinds = np.full((len(KINDS), len(KINDS)), AT_LEAST)
    np.add.at(kinds, (kind[:, None], kind[None, :]), wrong)
    kinds /= kinds.sum(axis=1, keepdims=True)
    heard = seen.sum(axis=0) + 1.0
    share = heard / np.bincount(kind, heard)[kind]
    all_right, all_lost = right / total.sum(), lost.sum() / total.sum()
    prior = (1.0 - all_right - all_lost) * kinds[kind[:, None], kind[None, :]] * share[None, :]
    np.fill_diagonal(prior, all_right)
    likely = (seen + SHARED * prior) / (total + SHARED)[:, None]
    likely_lost = (lost + SHARED * all_lost) / (total + SHARED)
    all_put_in = put_in.sum()
    likely_in = (put_in + SHARED_PUT_IN * all_put_in / len(SOUNDS)) / (1.0 + SHARED_PUT_IN) / total.sum()
    chance = (heard + put_in) / (heard + put_in).sum()
    return Costs(np.log(chance)[None, :] - np.log(likely), -np.log(likely_lost), np.log(chance) - np.log(likely_in))


@lru_cache(maxsize=1)
def costs() -> Costs:
    """Return the costs that were learnt."""
    counts = {one: {pair[0]: float(pair[1:]) for pair in heard.split()} for one, heard in HEARD_FOR.items()}
    return costs_of(counts)


class SoundTable:
    """Many strings of sounds, to be compared at once with one that was heard."""

    def __init__(self, sounds: Sequence[str]) -> None:
        import numpy as np

        self.lengths = np.array([len(one) for one in sounds], dtype=np.intp)
        longest = int(self.lengths.max(initial=1))
        # All beyond a string's own sounds is one sound more, which costs nothing to lose.
        index = np.full(128, len(SOUNDS), dtype=np.intp)
        index[list(map(ord, SOUNDS))] = range(len(SOUNDS))
        letters = "".join([one.ljust(longest) for one in sounds])
        self._sounds = index[np.frombuffer(letters.encode("ascii", "replace"), dtype=np.uint8)].reshape(
            len(sounds), longest
        )
        self._lost: Array | None = None

    def compare(self, heard: str, starts: Sequence[int], ends: Sequence[int], rows: Sequence[int]) -> Array:
        """Return ``[start, end, row]``: what it costs to hear the strings as ``heard`` from a start to an end.

        ``rows`` are the strings' indices; ``starts`` go up; a stretch that ends before it starts costs infinitely.
        """
        import numpy as np

        change, put_in = _padded_costs()
        taken = np.asarray(rows, dtype=np.intp)
        lengths, at = self.lengths[taken], np.arange(len(taken))
        width = int(lengths.max(initial=1))
        # By place in the string first, so that each step goes through all starts and strings in one.
        sounds = self._sounds[taken, :width].T.copy()
        # What is reached at each place of a string, less what it costs that all its sounds up to there were lost.
        reached = np.zeros((width + 1, len(starts), len(taken)))
        lost = self._all_lost()[taken, lengths]
        found = np.full((len(starts), len(ends), len(taken)), np.inf)
        begun = 0
        for place, letter in enumerate(("", *heard)):
            one = SOUNDS.find(letter) if letter else -1
            if one >= 0 and begun:
                before = reached[:, :begun]
                changed = before[:-1] + change[one].take(sounds)[:, None, :]
                before += put_in[one]
                np.minimum(before[1:], changed, out=before[1:])
                # Sounds lost in a row: the least of all ways so far.
                for shorter, longer in pairwise(before):
                    np.minimum(shorter, longer, out=longer)
            while begun < len(starts) and starts[begun] == place:
                begun += 1
            for column, end in enumerate(ends):
                if end == place:
                    found[:begun, column] = reached[lengths, :begun, at].T + lost
        return found

    def _all_lost(self) -> Array:
        """Return for each string what it costs that its first sounds were lost: none, one, two …"""
        import numpy as np

        if self._lost is None:
            self._lost = np.zeros((self._sounds.shape[0], self._sounds.shape[1] + 1))
            np.cumsum(np.append(costs().deletion, 0.0)[self._sounds], axis=1, out=self._lost[:, 1:])
        return self._lost


@lru_cache(maxsize=1)
def _padded_costs() -> tuple[Array, list[float]]:
    """Return what a sound heard costs for one spoken, instead of none, and for none.

    There is one sound spoken more, which fills up shorter names.
    """
    import numpy as np

    known = costs()
    change = known.substitution.T - known.deletion
    return np.pad(change, ((0, 0), (0, 1)), constant_values=99.0), known.insertion.tolist()
