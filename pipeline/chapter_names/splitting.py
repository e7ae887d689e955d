"""Chapters that hold two exercises: a set before which another one is plainly named starts a chapter of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from lexicon import Lexicon
from pipeline.chapter_names.candidates import candidates_of
from pipeline.chapter_names.naming import Candidate, Opening
from pipeline.chapter_names.room import NamingRoom
from pipeline.chapter_names.told import ToldIndex, told_index
from pipeline.counting.sets import Draft
from pipeline.mentions.hear import Mentions

#: How plainly the exercise of a later set has to be named, and from which score on it is the chapter's own.
NAMED, SAME = 0.6, 0.3


def split_openings(
    openings: Sequence[Opening], mentions: Mentions, drafts: Sequence[Draft], lexicon: Lexicon
) -> tuple[list[Opening], list[Draft]]:
    """Return the chapters, cut where they turn to another exercise between two sets, and the sets.

    Each set carries the chapter that it is in now.
    """
    room, index = NamingRoom(mentions, lexicon), told_index(lexicon)
    out: list[Opening] = []
    for c, opening in enumerate(openings):
        own = sorted((draft for draft in drafts if draft.chapter == c), key=lambda draft: draft.span)
        cuts = _cuts(room, index, opening, own) if opening.kind == "exercise" else []
        edges = [opening.first, *cuts, opening.stop]
        out += [replace(opening, first=a, stop=b) for a, b in pairwise(edges)]
    firsts = [one.first for one in out]
    placed = [replace(d, chapter=max(k for k, first in enumerate(firsts) if first <= d.span[0])) for d in drafts]
    return out, placed


def _cuts(room: NamingRoom, index: ToldIndex, opening: Opening, own: Sequence[Draft]) -> list[int]:
    cuts = []
    first = opening.first
    for before, draft in pairwise(own):
        gap = Opening(before.span[1], max(draft.span[1], before.span[1] + 1), "exercise", 1.0)
        if draft.span[0] <= before.span[1]:
            continue
        new = _named(room, index, gap, draft)
        if new is None or new.mention is None:
            continue
        old = candidates_of(room, room.talk(Opening(first, before.span[1], "exercise", 1.0), [before]), index)
        if any(one.key == new.key and one.score >= SAME for one in old):
            continue
        at = room.mentions.utterance_of[new.mention.words[0]]
        if before.span[1] <= at <= draft.span[0]:
            cuts.append(min(at, draft.span[0]))
            first = at
    return cuts


def _named(room: NamingRoom, index: ToldIndex, gap: Opening, draft: Draft) -> Candidate | None:
    plain = [
        one
        for one in candidates_of(room, room.talk(gap, [draft]), index)
        if one.mention is not None and not one.generic and one.score >= NAMED and one.mention.doing >= 0.6
    ]
    return max(plain, key=lambda one: one.score, default=None)
