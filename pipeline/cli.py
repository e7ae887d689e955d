"""The command ``repslate``: calls one function a command, and prints. Its words stand in ``cli_parser``.

Exit status: 0 done; 1 done, but ``--strict`` was given and something does not add up; 2 an input cannot be
used, and one line on standard error says which and why; 130 stopped from the keyboard; 141 whoever read the
output has gone (both as shells have it: 128 and the signal's number).
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.cli_parser import DONE, UNUSABLE, parser
from pipeline.model import InputError, RepslateError

if TYPE_CHECKING:
    from pipeline.model import Record
    from pipeline.transcripts.sound import SoundOptions

FINDINGS, STOPPED, READER_GONE = 1, 130, 141
EXPORT_OPTIONS = ("grain", "template", "rate", "line_length")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status; ``arguments`` are those of the shell by default."""
    from lexicon import LexiconError

    options = parser().parse_args(arguments)
    try:
        status = COMMANDS[options.run](options)
        sys.stdout.flush()
    except (RepslateError, LexiconError) as error:
        return _complain(error)
    except KeyboardInterrupt:
        print(
            "repslate: stopped; files of a class are written together, so none is half-written",
            file=sys.stderr,
        )
        return STOPPED
    except BrokenPipeError:
        # Python flushes standard output once more as it ends, and would complain of the pipe then.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return READER_GONE
    return status


# Commands


def _analyze(options: argparse.Namespace) -> int:
    from pipeline.commands import analyze, plan, recordings
    from pipeline.publish.summary import CAUTION, terminal_summary
    from pipeline.settings_file import read_settings

    settings = read_settings(options.settings) if options.settings else None
    analyze.check_lexicon(options.lexicon)
    sheet = plan.read_plan(options.plan, options.inputs)
    jobs = analyze.plan_jobs(options.inputs, options.output)
    sound = _sound_options(options)
    recordings.recognize_ahead(options.inputs, sound, options.at_once)
    status = DONE
    for job in jobs:
        try:
            progress = _recognizing(job.source, options.quiet)
            record, paths = analyze.analyze_class(
                job, options.lexicon, settings, sound, progress, sheet, options.fix_names
            )
        except RepslateError as error:
            status = _complain(error)
            continue
        if options.strict and record.findings:
            status = max(status, FINDINGS)
        if not options.quiet:
            summary = terminal_summary(record, paths) if len(jobs) == 1 else _progress(record, job.folder)
            _print(summary)
            if sheet is not None:
                _print(plan.plan_text(record))
    if len(jobs) > 1 and not options.quiet:
        _print(f"{CAUTION}\n")
    return status


def _transcribe(options: argparse.Namespace) -> int:
    from pipeline.commands import recordings
    from pipeline.transcripts.sound import clear_cache

    if options.clear_cache:
        count = clear_cache()
        _print(f"{count} recognised recording{'' if count == 1 else 's'} deleted\n")
    if options.recording is None:
        if not options.clear_cache:
            raise InputError("transcribe", None, "no recording is given", "name one, or give --clear-cache")
        return DONE
    progress = _recognizing(options.recording, options.quiet)
    text = recordings.words_json(
        recordings.read_recording(options.recording, _sound_options(options), progress=progress)
    )
    _write(text, options.output)
    return DONE


def _export(options: argparse.Namespace) -> int:
    from pipeline.commands import records

    given = {name: value for name in EXPORT_OPTIONS if (value := getattr(options, name)) is not None}
    if options.fix_names:
        records.export_with_names(options.record, options.form, given, options.output)
        return DONE
    text = records.export_record(options.record, options.form, given)
    _write(text, options.output)
    return DONE


def _overlay(options: argparse.Namespace) -> int:
    from pipeline.commands import overlay

    progress = _show_progress if sys.stderr.isatty() and not options.quiet else None
    overlay.render_overlay(options.record, options.output, options.size, options.rate, progress)
    if not options.quiet:
        _print(f"{options.output}: {options.size}, {options.rate} frames a second\n")
    return DONE


def _compare(options: argparse.Namespace) -> int:
    from pipeline.commands import compare
    from pipeline.compare.table import table

    comparison = compare.compare_onscreen(options.record, options.onscreen, options.output)
    if not options.quiet:
        _print(table(comparison))
    return FINDINGS if options.strict and not comparison.agrees else DONE


def _embed(options: argparse.Namespace) -> int:
    from pipeline.commands import embed

    text = embed.embed_record(options.film, options.record, options.output, options.grain, options.template)
    _print(text)
    return DONE


def _search(options: argparse.Namespace) -> int:
    from pipeline.commands import search

    statuses = [DONE]
    text = search.search_records(options.words, options.records, lambda error: statuses.append(_complain(error)))
    _print(text)
    return max(statuses)


def _schema(options: argparse.Namespace) -> int:
    from pipeline.commands import records

    _print(records.schema_text(options.form))
    return DONE


def _find(options: argparse.Namespace) -> int:
    from pipeline.commands import exercises

    _print(exercises.find_exercises(" ".join(options.words)))
    return DONE


def _check(options: argparse.Namespace) -> int:
    import lexicon

    problems = lexicon.check(options.file)
    for problem in problems:
        print(problem, file=sys.stderr)
    if problems:
        return UNUSABLE
    _print(f"{options.file}: nothing wrong\n")
    return DONE


def _propose(options: argparse.Namespace) -> int:
    from pipeline.commands import exercises, records

    text, count = exercises.propose_exercises([records.read_record(source) for source in options.records])
    if count:
        _print(text)
    else:
        print("repslate: every exercise named in these records is in the lexicon", file=sys.stderr)
    return DONE


COMMANDS: dict[str, Callable[[argparse.Namespace], int]] = {
    "analyze": _analyze,
    "transcribe": _transcribe,
    "export": _export,
    "embed": _embed,
    "search": _search,
    "schema": _schema,
    "overlay": _overlay,
    "compare": _compare,
    "find": _find,
    "check": _check,
    "propose": _propose,
}
"""The function of each command, by the name that ``cli_parser`` gives it."""


# Printing


def _print(text: str) -> None:
    encoding = sys.stdout.encoding or "utf-8"
    # A terminal that cannot show a character shows a question mark rather than stopping the work.
    sys.stdout.write(text.encode(encoding, "replace").decode(encoding))
    sys.stdout.flush()


def _write(text: bytes, output: Path | None) -> None:
    """Write to a file, or to standard output where none is given."""
    from pipeline.commands.records import write_file

    if output is not None:
        write_file(text, output)
    else:
        sys.stdout.buffer.write(text)


def _progress(record: Record, folder: Path) -> str:
    from pipeline.publish.report_words import count_text

    found = {"chapter": record.chapters, "set": record.sets, "finding": record.findings}
    counts = ", ".join(count_text(len(things), noun) for noun, things in found.items())
    return f"{record.source.name}: {counts}; files in {folder}\n"


def _show_progress(done: int, total: int) -> None:
    print(f"\r{100 * done // total:3} %", end="\n" if done == total else "", file=sys.stderr, flush=True)


def _recognizing(source: str, quiet: bool) -> Callable[[float, float], None] | None:
    """Return what shows how far a recording is recognised and how long it will take, on a terminal alone."""
    if quiet or not sys.stderr.isatty():
        return None
    begun = time.monotonic()

    def show(done: float, total: float) -> None:
        left = (time.monotonic() - begun) * (total - done) / done if done else 0.0
        share = 100 * done / total if total else 100.0
        line = f"\r{source}: {share:3.0f} % recognised, about {left / 60:.0f} min left "
        print(line, end="\n" if done >= total else "", file=sys.stderr, flush=True)

    return show


def _sound_options(options: argparse.Namespace) -> SoundOptions:
    from pipeline.transcripts.recognition.options import SoundOptions

    return SoundOptions(options.model, options.device, options.compute_type, options.threads)


def _complain(error: Exception) -> int:
    # A file's name may hold a line break; the line stays one.
    print(" ".join(f"repslate: {error}".split()), file=sys.stderr)
    return UNUSABLE


if __name__ == "__main__":
    sys.exit(main())
