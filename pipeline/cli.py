"""The command ``repslate``: parses words, calls one function a command, prints.

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
from typing import TYPE_CHECKING, NoReturn

from pipeline.model import InputError, RepslateError

if TYPE_CHECKING:
    from pipeline.model import Record
    from pipeline.transcripts.sound import SoundOptions

    _Commands = argparse._SubParsersAction["_Parser"]

DONE, FINDINGS, UNUSABLE, STOPPED, READER_GONE = 0, 1, 2, 130, 141
EXPORT_OPTIONS = ("grain", "template", "rate", "line_length")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status; ``arguments`` are those of the shell by default."""
    from lexicon import LexiconError

    options = _parser().parse_args(arguments)
    try:
        status: int = options.run(options)
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
            record, paths = analyze.analyze_class(job, options.lexicon, settings, sound, progress, sheet)
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
    from pipeline.commands import recordings, records
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
    if options.output is not None:
        records.write_file(text, options.output)
    else:
        sys.stdout.buffer.write(text)
    return DONE


def _export(options: argparse.Namespace) -> int:
    from pipeline.commands import records

    given = {name: value for name in EXPORT_OPTIONS if (value := getattr(options, name)) is not None}
    if options.fix_names:
        records.export_with_names(options.record, options.form, given, options.output)
        return DONE
    text = records.export_record(options.record, options.form, given)
    if options.output is not None:
        records.write_file(text, options.output)
    else:
        sys.stdout.buffer.write(text)
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


# Printing


def _print(text: str) -> None:
    encoding = sys.stdout.encoding or "utf-8"
    # A terminal that cannot show a character shows a question mark rather than stopping the work.
    sys.stdout.write(text.encode(encoding, "replace").decode(encoding))
    sys.stdout.flush()


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


# Words


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        """Say in one line what is wrong with the words of the command."""
        self.exit(UNUSABLE, f"{self.prog}: {message}; see {self.prog} --help\n")


class _Version(argparse.Action):
    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> NoReturn:
        from importlib.metadata import PackageNotFoundError, version

        try:
            print(f"repslate {version('repslate')}")
        except PackageNotFoundError:
            print("repslate, not installed")
        parser.exit(DONE)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="repslate",
        description="Find the exercises, sets and reps of a follow-along class in its timed transcript, and "
        "what does not add up.",
        epilog="Transcribed cues are not checked advice. Stop on pain; ask a qualified professional; follow "
        "local rules.",
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="show the version and stop")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    _add_analyze(commands)
    _add_transcribe(commands)
    _add_records(commands)
    _add_screen(commands)
    _add_lexicon(commands)
    return parser


def _add_analyze(commands: _Commands) -> None:
    what = "analyse classes: chapters, captions, counter, rep audit"
    command = commands.add_parser(
        "analyze",
        help=what,
        description=f"{what[:1].upper()}{what[1:]}. The files of INPUT go to the folder DIR/<name of INPUT "
        "without its ending>/. Of several inputs, those that can be used are analysed; two that would share "
        "a folder are refused before anything is written.",
    )
    command.add_argument(
        "inputs", nargs="+", metavar="INPUT", help="a timed transcript or a recording; - for standard input"
    )
    command.add_argument(
        "-o",
        dest="output",
        metavar="DIR",
        type=Path,
        default=Path(),
        help="where the folders go (default: here)",
    )
    command.add_argument("--lexicon", metavar="FILE", type=Path, help="further exercises, as CSV or YAML")
    command.add_argument("--settings", metavar="FILE", type=Path, help="tolerances of the audit, as YAML")
    command.add_argument("--plan", metavar="FILE", type=Path, help="a run sheet, as YAML, to compare with")
    command.add_argument("--strict", action="store_true", help="exit 1 where something does not add up")
    command.add_argument("--quiet", action="store_true", help="print nothing but errors")
    command.add_argument(
        "-j", dest="at_once", metavar="N", type=_count, default=1, help="recognise N recordings at once"
    )
    _add_sound(command)
    command.set_defaults(run=_analyze)


def _add_transcribe(commands: _Commands) -> None:
    command = commands.add_parser(
        "transcribe",
        help="recognise the words of a recording, as JSON",
        description="Recognise the words of a recording, and print them with their times as JSON. What was "
        "recognised is kept in your cache folder: the same recording is not recognised twice, and a run that was "
        "stopped goes on where it was.",
    )
    command.add_argument("recording", nargs="?", metavar="RECORDING", help="an audio file or a film")
    command.add_argument(
        "-o", dest="output", metavar="FILE", type=Path, help="write to FILE (default: standard output)"
    )
    command.add_argument("--clear-cache", action="store_true", help="first delete all that was kept")
    command.add_argument("--quiet", action="store_true", help="print nothing but errors and the words")
    _add_sound(command)
    command.set_defaults(run=_transcribe)


def _add_sound(command: argparse.ArgumentParser) -> None:
    sound = command.add_argument_group("recordings")
    sound.add_argument(
        "--model",
        metavar="NAME|FOLDER",
        help="what recognises speech: a model's name, or its folder (default: the model of "
        "repslate[offline-model] where that is installed, or small.en)",
    )
    sound.add_argument("--device", choices=["auto", "cpu", "cuda"], default="auto", help="default: auto")
    sound.add_argument(
        "--compute-type",
        metavar="TYPE",
        default="default",
        help="how the model reckons, such as int8 or float16 (default: as it was saved, where that can be)",
    )
    sound.add_argument(
        "--threads", metavar="N", type=_count, default=0, help="of the processor (default: as many as it has, up to 4)"
    )


def _count(text: str) -> int:
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError(f"{text!r} is no number from 1 up")
    return int(text)


def _add_records(commands: _Commands) -> None:
    command = commands.add_parser("export", help="make one file out of a record.json")
    command.add_argument("record", metavar="RECORD", help="a record.json; - for standard input")
    command.add_argument(
        "--as", dest="form", metavar="FORMAT", required=True, help="the file's name, such as chapters.txt"
    )
    command.add_argument(
        "-o", dest="output", metavar="FILE", type=Path, help="write to FILE (default: standard output)"
    )
    command.add_argument("--grain", help="chapters: one for each exercise, block or set")
    command.add_argument("--template", help="chapters: how a title is put together, such as '{exercise}[, {side}]'")
    command.add_argument("--rate", help="timelines: frames a second, such as 25 or 29.97")
    command.add_argument(
        "--fix-names",
        action="store_true",
        help="captions: put misheard exercise names right, and list the changes in a file beside -o FILE",
    )
    command.add_argument("--line-length", type=int, metavar="N", help="captions: most characters in a line")
    command.set_defaults(run=_export)
    command = commands.add_parser("embed", help="put chapters and captions into a copy of a film")
    command.add_argument("film", metavar="VIDEO", type=Path, help="an MP4 or Matroska file, or another film")
    command.add_argument("record", metavar="RECORD", help="its record.json; - for standard input")
    command.add_argument(
        "-o", dest="output", metavar="OUT", type=Path, required=True, help="the copy: .mp4, .m4v or .mkv"
    )
    command.add_argument("--grain", help="one chapter for each exercise, block or set")
    command.add_argument("--template", help="how a chapter's title is put together, such as '{exercise}[, {side}]'")
    command.set_defaults(run=_embed)
    command = commands.add_parser("schema", help="print the JSON Schema of record.json, or of a cue of counter.vtt")
    command.add_argument(
        "form", nargs="?", default="record.json", choices=("record.json", "counter.vtt"), help="default: record.json"
    )
    command.set_defaults(run=_schema)


def _add_screen(commands: _Commands) -> None:
    what = "render the rep counter as a transparent video to lay over the class"
    command = commands.add_parser("overlay", help=what, description=f"{what[:1].upper()}{what[1:]}: WebM, VP9.")
    command.add_argument("record", metavar="RECORD", help="a record.json; - for standard input")
    command.add_argument("-o", dest="output", metavar="FILE", type=Path, required=True, help="such as counter.webm")
    command.add_argument("--size", default="1280x720", metavar="WxH", help="in pixels (default: 1280x720)")
    command.add_argument("--rate", default="30", help="frames a second, such as 25 or 29.97 (default: 30)")
    command.add_argument("--quiet", action="store_true", help="print nothing but errors")
    command.set_defaults(run=_overlay)
    what = "hold a counter or captions that are already made against a record"
    command = commands.add_parser("compare", help=what, description=f"{what[:1].upper()}{what[1:]}.")
    command.add_argument("record", metavar="RECORD", help="a record.json; - for standard input")
    command.add_argument("onscreen", metavar="ONSCREEN", type=Path, help="WebVTT, SubRip, SubStation Alpha or CSV")
    command.add_argument("-o", dest="output", metavar="FILE", type=Path, help="write every verdict as CSV")
    command.add_argument("--strict", action="store_true", help="exit 1 where something does not agree")
    command.add_argument("--quiet", action="store_true", help="print nothing but errors")
    command.set_defaults(run=_compare)


def _add_lexicon(commands: _Commands) -> None:
    parent = commands.add_parser("lexicon", help="look up exercises, check a file of them, propose new ones")
    actions = parent.add_subparsers(title="commands", metavar="COMMAND", required=True)
    command = actions.add_parser("find", help="search by name, muscle or equipment")
    command.add_argument("words", nargs="+", metavar="WORDS")
    command.set_defaults(run=_find)
    command = actions.add_parser("check", help="print every problem of a file of exercises")
    command.add_argument("file", metavar="FILE", type=Path)
    command.set_defaults(run=_check)
    command = actions.add_parser("propose", help="print CSV lines for exercises that the lexicon lacks")
    command.add_argument("records", nargs="+", metavar="RECORD", help="a record.json")
    command.set_defaults(run=_propose)


if __name__ == "__main__":
    sys.exit(main())
