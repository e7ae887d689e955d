"""``repslate export`` and ``repslate schema``: one file out of a kept record, and the record's form."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from pathlib import Path

from pipeline.model import InputError, Record
from pipeline.whole_file import written_whole

STANDARD_INPUT = "-"
_ACCEPTED = "a record.json as this tool writes it is accepted"


def read_record(source: str) -> Record:
    """Read a record.json; ``"-"`` is standard input. Raises :class:`~pipeline.model.InputError`."""
    from pipeline.record_json import from_json

    try:
        data = sys.stdin.buffer.read() if source == STANDARD_INPUT else Path(source).read_bytes()
        return from_json(data.decode("utf-8-sig"), source)
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        raise InputError(source, line, "is not UTF-8 text", _ACCEPTED) from error
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise InputError(source, None, f"cannot be read ({reason})", _ACCEPTED) from error
    except (RecursionError, OverflowError) as error:
        raise InputError(source, None, "is nested too deep or holds too large a number", _ACCEPTED) from error


def export_record(source: str, form: str, options: Mapping[str, object]) -> bytes:
    """Return one file, ``form`` being its name in ``pipeline.publish.FORMATS``; UTF-8 wherever it is made.

    ``options`` are those of the form's writer. Raises :class:`~pipeline.model.InputError`.
    """
    from lexicon import load
    from pipeline.publish import export, options_of

    known = options_of(form)  # an unknown form is told before a record is read
    if "exercises" in known:
        options = {"exercises": load().exercises, **options}
    # JSON can hold half a character (RFC 8259, section 8.2), which UTF-8 cannot.
    return export(read_record(source), form, **options).encode("utf-8", "replace")


def export_with_names(source: str, form: str, options: Mapping[str, object], output: Path | None) -> None:
    """Write captions with misheard exercise names put right, and beside them what was changed.

    Raises :class:`~pipeline.model.InputError`.
    """
    from pipeline.commands.fix_names import captions_with_names, changes_path
    from pipeline.publish import options_of

    options_of(form)
    if not form.startswith("captions."):
        raise InputError("--fix-names", None, f"is not for {form}", "give it with a form of captions")
    if output is None:
        problem = "lists its changes in a file beside the captions, and these have no file"
        raise InputError("--fix-names", None, problem, "give -o FILE as well")
    text, changes = captions_with_names(read_record(source), form, options).values()
    write_file(changes.encode("utf-8", "replace"), changes_path(output))
    write_file(text.encode("utf-8", "replace"), output)


def write_file(text: bytes, path: Path) -> None:
    """Write a file whole or not at all. Raises :class:`~pipeline.model.InputError`."""
    with written_whole(path, "give a file in a folder that can be written to") as staging:
        staging.write_bytes(text)


def schema_text(form: str = "record.json") -> str:
    """Return the JSON Schema of record.json, or of the payload of a cue of counter.vtt, as text."""
    from pipeline.publish.counter_webvtt import SCHEMA
    from pipeline.record_json import json_schema

    return json.dumps(SCHEMA if form == "counter.vtt" else json_schema(), indent=2, ensure_ascii=False) + "\n"
