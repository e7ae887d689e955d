"""The command ``repslate``: calls one function a command, and prints. Its words stand in ``cli_parser``.

Exit status: 0 done; 1 done, but ``--strict`` was given and something does not add up; 2 an input cannot be
used, and one line on standard error says which and why; 130 stopped from the keyboard; 141 whoever read the
output has gone (both as shells have it: 128 and the signal's number).
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from pipeline.cli_parser import DONE, UNUSABLE, parser
from pipeline.commands.printing import class_text, complain, follow_recognition, print_text, show_share, write_or_print
from pipeline.model import InputError, RepslateError

if TYPE_CHECKING:
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
        complain(error)
        return UNUSABLE
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
            progress = follow_recognition(job.source, options.quiet)
            record, paths = analyze.analyze_class(
                job, options.lexicon, settings, sound, progress, sheet, options.fix_names
            )
        except RepslateError as error:
            complain(error)
            status = UNUSABLE
            continue
        if options.strict and record.findings:
            status = max(status, FINDINGS)
        if not options.quiet:
            summary = terminal_summary(record, paths) if len(jobs) == 1 else class_text(record, job.folder)
            print_text(summary)
            if sheet is not None:
                print_text(plan.plan_text(record))
    if len(jobs) > 1 and not options.quiet:
        print_text(f"{CAUTION}\n")
    return status


def _transcribe(options: argparse.Namespace) -> int:
    from pipeline.commands import recordings
    from pipeline.transcripts.sound import clear_cache

    if options.clear_cache:
        count = clear_cache()
        print_text(f"{count} recognised recording{'' if count == 1 else 's'} deleted\n")
    if options.recording is None:
        if not options.clear_cache:
            raise InputError("transcribe", None, "no recording is given", "name one, or give --clear-cache")
        return DONE
    progress = follow_recognition(options.recording, options.quiet)
    text = recordings.words_json(
        recordings.read_recording(options.recording, _sound_options(options), progress=progress)
    )
    write_or_print(text, options.output)
    return DONE


def _export(options: argparse.Namespace) -> int:
    from pipeline.commands import records

    given = {name: value for name in EXPORT_OPTIONS if (value := getattr(options, name)) is not None}
    if options.fix_names:
        records.export_with_names(options.record, options.form, given, options.output)
        return DONE
    text = records.export_record(options.record, options.form, given)
    write_or_print(text, options.output)
    return DONE


def _overlay(options: argparse.Namespace) -> int:
    from pipeline.commands import overlay

    progress = show_share if sys.stderr.isatty() and not options.quiet else None
    overlay.render_overlay(options.record, options.output, options.size, options.rate, progress)
    if not options.quiet:
        print_text(f"{options.output}: {options.size}, {options.rate} frames a second\n")
    return DONE


def _compare(options: argparse.Namespace) -> int:
    from pipeline.commands import compare
    from pipeline.compare.table import table

    comparison = compare.compare_onscreen(options.record, options.onscreen, options.output)
    if not options.quiet:
        print_text(table(comparison))
    return FINDINGS if options.strict and not comparison.agrees else DONE


def _embed(options: argparse.Namespace) -> int:
    from pipeline.commands import embed

    text = embed.embed_record(options.film, options.record, options.output, options.grain, options.template)
    print_text(text)
    return DONE


def _search(options: argparse.Namespace) -> int:
    from pipeline.commands import search

    unusable: list[RepslateError] = []

    def leave_out(error: RepslateError) -> None:
        complain(error)
        unusable.append(error)

    print_text(search.search_records(options.words, options.records, leave_out))
    return UNUSABLE if unusable else DONE


def _schema(options: argparse.Namespace) -> int:
    from pipeline.commands import records

    print_text(records.schema_text(options.form))
    return DONE


def _find(options: argparse.Namespace) -> int:
    from pipeline.commands import exercises

    print_text(exercises.find_exercises(" ".join(options.words)))
    return DONE


def _check(options: argparse.Namespace) -> int:
    import lexicon

    problems = lexicon.check(options.file)
    for problem in problems:
        print(problem, file=sys.stderr)
    if problems:
        return UNUSABLE
    print_text(f"{options.file}: nothing wrong\n")
    return DONE


def _propose(options: argparse.Namespace) -> int:
    from pipeline.commands import exercises, records

    text, count = exercises.propose_exercises([records.read_record(source) for source in options.records])
    if count:
        print_text(text)
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


def _sound_options(options: argparse.Namespace) -> SoundOptions:
    from pipeline.transcripts.recognition.options import SoundOptions

    return SoundOptions(options.model, options.device, options.compute_type, options.threads)


if __name__ == "__main__":
    sys.exit(main())
