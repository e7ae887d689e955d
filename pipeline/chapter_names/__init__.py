"""Chapter names: what the exercise of each chapter is called, from all that was said while turning to it.

Rarely does one sentence say the whole name. "Come into half-kneeling, one dumbbell … it's an overhead press" is a
half-kneeling single-arm press; "we pull the band apart" names nothing and tells all; "back to the row" is the row
of round one; and in a circuit the third time round the presenter may name nothing at all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lexicon import Lexicon
from pipeline.chapter_names.candidates import candidates_of
from pipeline.chapter_names.composing import all_names, compose
from pipeline.chapter_names.naming import NOTHING, UNNAMED, Naming, Opening, same_exercise
from pipeline.chapter_names.room import NamingRoom
from pipeline.chapter_names.rounds import read_rounds
from pipeline.chapter_names.told import told_index
from pipeline.counting.draft import Draft
from pipeline.mentions.hear import Mentions

__all__ = ["UNNAMED", "Naming", "Opening", "name_chapters", "same_exercise"]

#: Utterances at the start of a chapter in which a return is announced.
HEAD = 3
#: How sure a return is of which nothing was named, and a chapter of which nothing was understood.
BY_ORDER, UNKNOWN = 0.5, 0.1


def name_chapters(
    openings: Sequence[Opening], mentions: Mentions, drafts: Sequence[Draft], lexicon: Lexicon
) -> list[Naming]:
    """Name the exercise of every chapter, in order; chapters of other kinds get an empty naming.

    Where nothing at all names an exercise, the class goes on with the one before.
    """
    room, index = NamingRoom(mentions, lexicon), told_index(lexicon)
    places = [c for c, opening in enumerate(openings) if opening.kind == "exercise"]
    talks = [room.talk(openings[c], [draft for draft in drafts if draft.chapter == c]) for c in places]
    candidates = [candidates_of(room, talk, index) for talk in talks]
    read = read_rounds(talks, [_head(mentions, openings[c]) for c in places], candidates, index)
    given: dict[int, list[Naming]] = {}
    for talk, (label, pick) in zip(talks, read, strict=True):
        if pick is not None:
            given.setdefault(label, []).append(compose(room, talk, pick))
    named = {label: all_names(namings) for label, namings in given.items()}
    out = [NOTHING] * len(openings)
    for c, (label, pick) in zip(places, read, strict=True):
        naming = named.get(label)
        if naming is None and c > 0 and openings[c - 1].kind == "exercise":
            out[c] = replace(out[c - 1], score=UNKNOWN)
        elif naming is None:
            out[c] = Naming(None, UNNAMED, (), UNKNOWN)
        else:
            out[c] = replace(naming, score=min(1.0, max(0.0, pick.score)) if pick else BY_ORDER)
    return out


def _head(mentions: Mentions, opening: Opening) -> str:
    stop = mentions.utterances[min(opening.first + HEAD, opening.stop) - 1].stop
    return " ".join(mentions.tokens[mentions.utterances[opening.first].first : stop])
