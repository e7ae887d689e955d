"""What is written about a class: a writer a file, each a function from a record to the file's text.

To add a form, write a module with ``write(record: Record) -> str`` and name its file in ``WRITERS``, if it
belongs to every class, or in ``FORMATS``, if it is made when asked for. What a form can be told, such as the
rate of its timecodes, are keyword parameters of its ``write``.
"""

from __future__ import annotations

import inspect
import os
import shutil
from collections.abc import Callable, Mapping
from pathlib import Path

from pipeline.model import InputError, Record
from pipeline.publish import (
    audit_csv,
    caption_subrip,
    caption_ttml,
    caption_webvtt,
    chapters_csv,
    chapters_ffmetadata,
    chapters_json,
    chapters_matroska,
    chapters_text,
    chapters_webvtt,
    class_summary,
    counter_csv,
    counter_substation,
    counter_webvtt,
    report,
    timeline,
    volume,
)
from pipeline.record_json import to_json

WRITERS: dict[str, Callable[[Record], str]] = {
    "record.json": to_json,
    "chapters.txt": chapters_text.write,
    "chapters.vtt": chapters_webvtt.write,
    "captions.vtt": caption_webvtt.write,
    "counter.vtt": counter_webvtt.write,
    "audit.csv": audit_csv.write,
    "report.html": report.write,
}
"""The writers by the name of the file that each one writes."""


FORMATS: dict[str, Callable[..., str]] = {
    **WRITERS,
    "chapters-nested.vtt": chapters_webvtt.write_nested,
    "chapters.xml": chapters_matroska.write,
    "chapters.ffmetadata": chapters_ffmetadata.write,
    "chapters.json": chapters_json.write,
    "chapters.csv": chapters_csv.write,
    "timeline.otio": timeline.write_otio,
    "timeline.edl": timeline.write_edl,
    "timeline.xml": timeline.write_xml,
    "summary.txt": class_summary.write_text,
    "summary.md": class_summary.write_markdown,
    "volume.csv": volume.write,
    "captions.srt": caption_subrip.write,
    "captions.ttml": caption_ttml.write,
    "counter.csv": counter_csv.write,
    "counter-16x9.ass": counter_substation.write_wide,
    "counter-9x16.ass": counter_substation.write_tall,
}
"""All that can be exported, by name: the files of ``WRITERS``, and what is made only when asked for."""


def export(record: Record, form: str, **options: object) -> str:
    """Return the text of one file, ``form`` being its name, such as ``"chapters.txt"``.

    ``options`` are the keyword parameters of that form's writer (see ``options_of``). Raises
    :class:`~pipeline.model.InputError` for a form or an option that there is not.
    """
    known = options_of(form)
    for option in options:
        if option not in known:
            # The lexicon's exercises come from the program, not from a person.
            told = ", ".join(name for name in known if name != "exercises")
            remedy = f"{form} takes {told or 'none'}"
            raise InputError(form, None, f"has no option {option!r}", remedy)
    return FORMATS[form](record, **options)


def options_of(form: str) -> tuple[str, ...]:
    """Return the names of the options that a form takes."""
    if form not in FORMATS:
        raise InputError(form, None, "is no form that can be written", f"one of {', '.join(FORMATS)}")
    return tuple(inspect.signature(FORMATS[form]).parameters)[1:]


def publish(record: Record, folder: Path, further: Mapping[str, str] | None = None) -> list[Path]:
    """Write every file into ``folder``, which is made where it is missing, and return their paths.

    ``further`` are texts by file name to write along with them.

    All texts are made and kept in a folder beside it before the first is put in place, each under its name at
    once; what fails leaves nothing half-written. Other files in the folder are left alone. Raises
    :class:`~pipeline.model.InputError` where the folder cannot be written.
    """
    texts = {name: write(record) for name, write in WRITERS.items()} | dict(further or {})
    folder = Path(folder)
    staging = folder.parent / f".{folder.name}.{os.getpid()}.part"
    try:
        staging.mkdir(parents=True)
        for name, text in texts.items():
            # A file's name need not be UTF-8, and then has bytes that are no character (PEP 383); "?" stands for them.
            (staging / name).write_bytes(text.encode("utf-8", "replace"))
        folder.mkdir(exist_ok=True)
        for name in texts:
            os.replace(staging / name, folder / name)
    except OSError as error:
        problem = f"cannot be written ({error.strerror or error})"
        raise InputError(str(folder), None, problem, "a folder that can be made or written to") from error
    finally:
        shutil.rmtree(staging, ignore_errors=True)
    return [folder / name for name in texts]
