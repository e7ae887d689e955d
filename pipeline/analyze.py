"""The hallway: a transcript goes in, a record comes out. One function calls the rooms in order."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.model import Record, Transcript

if TYPE_CHECKING:
    from collections.abc import Mapping

    from pipeline.audit import Settings
    from pipeline.counting.chain import ChainModel
    from pipeline.mentions.hear import Listener


def analyze(
    transcript: Transcript,
    extra_lexicon: Path | None = None,
    settings: Settings | None = None,
    models: Mapping[str, ChainModel] | None = None,
) -> Record:
    """Find exercises, sets, reps, chapters, cues and what does not add up in one class.

    ``extra_lexicon`` is a file of further exercises, ``settings`` the audit's tolerances, ``models`` other weights
    than the shipped ones. Raises ``lexicon.LexiconError`` where the extra lexicon cannot be used.
    """
    from lexicon import load
    from pipeline import chapters
    from pipeline.assemble import assemble
    from pipeline.chapter_names import name_chapters
    from pipeline.counting.decode import decode
    from pipeline.counting.sets import draft_sets

    lexicon = load(extra_lexicon)
    mentions = listener(extra_lexicon).hear(transcript)
    decoded = decode(mentions, models)
    openings = chapters.open_chapters(decoded, mentions)
    drafts, decoded = draft_sets(decoded, mentions, [one.first for one in openings])
    namings = name_chapters(openings, mentions, drafts, lexicon)
    return assemble(mentions, decoded, openings, namings, drafts, lexicon, settings)


@lru_cache(maxsize=4)
def listener(extra_lexicon: Path | None = None) -> Listener:
    """Build, once for each lexicon, what finds the mentions."""
    from lexicon import load
    from pipeline.mentions.hear import Listener

    return Listener(load(extra_lexicon))
