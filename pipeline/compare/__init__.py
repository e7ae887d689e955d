"""Checks a counter or caption file that is already made against what was found in the class.

``compare`` reads the file (``onscreen``), tells a counter from captions, undoes a shift or a wrong frame rate
of the whole file (``shift``), and gives a verdict on every number (``counter_check``, ``caption_check``).
"""

from __future__ import annotations

from pathlib import Path

from pipeline.compare.verdicts import Comparison
from pipeline.model import InputError, Record

CAPTIONS_SHARE = 0.3
"""A file that holds this share of the words said is one of captions; a counter has no way to hold it."""


def compare(record: Record, path: Path) -> Comparison:
    """Return what agrees and what does not between a class and a file that is shown over it.

    The file is WebVTT, SubRip, SubStation Alpha or CSV. Raises :class:`~pipeline.model.InputError` where it
    cannot be read, or holds no number.
    """
    from pipeline.compare import caption_check, counter_check
    from pipeline.compare.onscreen import read_onscreen

    shown = read_onscreen(Path(path))
    is_captions = caption_check.share_of_speech(record, shown) >= CAPTIONS_SHARE
    made = caption_check.check(record, shown) if is_captions else counter_check.check(record, shown)
    if not any(one.shown for one in made.verdicts):
        remedy = "a counter or captions with numbers in them"
        raise InputError(str(path), None, "holds no number that could be checked", remedy)
    return made
