"""``repslate analyze``: reads a class, finds what is in it, and writes its folder."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.model import InputError

if TYPE_CHECKING:
    from pipeline.audit import Settings
    from pipeline.model import Record, Transcript
    from pipeline.plan import Plan
    from pipeline.transcripts.sound import SoundOptions

STANDARD_INPUT = "-"
STANDARD_INPUT_NAME = "standard-input"
"""What the folder is called for a class that comes through a pipe and so has no name of its own."""


@dataclass(frozen=True, slots=True)
class Job:
    """One input (a path, or ``"-"``) and the folder that its files go to."""

    source: str
    folder: Path


def plan_jobs(sources: Sequence[str], output: Path) -> list[Job]:
    """Give each input its folder, named for it without its ending.

    Raises :class:`~pipeline.model.InputError` where two inputs would have one folder: neither is to overwrite
    the other, and a made-up name would be found by nobody.
    """
    jobs: list[Job] = []
    owners: dict[str, str] = {}
    for source in sources:
        name = STANDARD_INPUT_NAME if source == STANDARD_INPUT else Path(source).stem
        # Some file systems take "Class" and "class" for one name.
        key = name.casefold()
        if key in owners:
            problem = f"would be written over {owners[key]}, as both have the folder {output / name}"
            raise InputError(source, None, problem, "analyse them one at a time, each with its own -o folder")
        owners[key] = source
        jobs.append(Job(source, output / name))
    return jobs


def check_lexicon(path: Path | None) -> None:
    """Raise ``lexicon.LexiconError`` where the file of further exercises cannot be used."""
    from lexicon import load

    load(path)


def analyze_class(
    job: Job,
    lexicon: Path | None,
    settings: Settings | None,
    sound: SoundOptions,
    progress: Callable[[float, float], None] | None = None,
    sheet: Plan | None = None,
    fix_names: bool = False,
) -> tuple[Record, list[Path]]:
    """Return the record of one class and the paths of the files written for it.

    ``sheet`` is its run sheet, where one is given: how the class differs is found and written too.
    With ``fix_names`` its captions have misheard exercise names put right, and what was changed is written too.
    ``progress`` is called with the seconds of a recording that are recognised, and all its seconds.
    Raises :class:`~pipeline.model.InputError` where the input cannot be used or the folder not be written;
    then nothing is left in the folder that was not there before.
    """
    from pipeline.analyze import analyze
    from pipeline.commands import plan
    from pipeline.commands.fix_names import captions_with_names
    from pipeline.publish import publish

    record = analyze(_read_input(job.source, lexicon, sound, progress), lexicon, settings)
    further = {}
    if sheet is not None:
        record, further[plan.FILE] = plan.hold_against(sheet, record, lexicon)
    if fix_names:
        further |= captions_with_names(record, "captions.vtt", {}, lexicon)
    return record, publish(record, job.folder, further)


def _read_input(
    source: str,
    lexicon: Path | None,
    sound: SoundOptions,
    progress: Callable[[float, float], None] | None,
) -> Transcript:
    """Return the transcript of one input. The one place where recordings part from transcripts."""
    from pipeline.commands.recordings import is_recording, read_recording
    from pipeline.transcripts import read

    if source != STANDARD_INPUT and is_recording(source):
        transcript = read_recording(source, sound, lexicon, progress)
    else:
        transcript = read(source)
    # A file's name may hold bytes that are no UTF-8, which the files written could not say.
    name = transcript.source.name.encode("utf-8", "replace").decode("utf-8")
    return replace(transcript, source=replace(transcript.source, name=name))
