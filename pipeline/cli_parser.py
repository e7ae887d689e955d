"""The words of the command ``repslate``: what can be typed, what it means, and the help texts."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

if TYPE_CHECKING:
    _Commands = argparse._SubParsersAction["_Parser"]

DONE, UNUSABLE = 0, 2
"""Exit status after the version is shown, and where the words make no command."""


def parser() -> argparse.ArgumentParser:
    """Return what parses the words of ``repslate``; ``run`` of what it gives is the name of the command's function."""
    top = _Parser(
        prog="repslate",
        description="Find the exercises, sets and reps of a follow-along class in its timed transcript, and "
        "what does not add up.",
        epilog="Transcribed cues are not checked advice. Stop on pain; ask a qualified professional; follow "
        "local rules.",
    )
    top.add_argument("--version", action=_Version, nargs=0, help="show the version and stop")
    commands = top.add_subparsers(title="commands", metavar="COMMAND", required=True)
    _add_analyze(commands)
    _add_transcribe(commands)
    _add_records(commands)
    _add_screen(commands)
    _add_lexicon(commands)
    return top


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
    command.add_argument(
        "--fix-names",
        action="store_true",
        help="captions: put misheard exercise names right, and list the changes in captions.changes.csv",
    )
    command.add_argument("--strict", action="store_true", help="exit 1 where something does not add up")
    command.add_argument("--quiet", action="store_true", help="print nothing but errors")
    command.add_argument(
        "-j", dest="at_once", metavar="N", type=_count, default=1, help="recognise N recordings at once"
    )
    _add_sound(command)
    command.set_defaults(run="analyze")


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
    command.set_defaults(run="transcribe")


def _add_sound(command: argparse.ArgumentParser) -> None:
    sound = command.add_argument_group("recordings")
    sound.add_argument(
        "--model",
        metavar="NAME|FOLDER",
        help="what recognises speech: a model's name, or its folder (default: that of the extra "
        "offline-model where that is installed, or small.en)",
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
    command.set_defaults(run="export")
    command = commands.add_parser("embed", help="put chapters and captions into a copy of a film")
    command.add_argument("film", metavar="VIDEO", type=Path, help="an MP4 or Matroska file, or another film")
    command.add_argument("record", metavar="RECORD", help="its record.json; - for standard input")
    command.add_argument(
        "-o", dest="output", metavar="OUT", type=Path, required=True, help="the copy: .mp4, .m4v or .mkv"
    )
    command.add_argument("--grain", help="one chapter for each exercise, block or set")
    command.add_argument("--template", help="how a chapter's title is put together, such as '{exercise}[, {side}]'")
    command.set_defaults(run="embed")
    what = "find the classes of a shelf that hold an exercise"
    command = commands.add_parser(
        "search",
        help=what,
        description=f"{what[:1].upper()}{what[1:]}, by its names, muscles and equipment; where none does, those in "
        "which the words were said.",
    )
    command.add_argument("words", metavar="WORDS", help="such as 'goblet squat' or 'glutes band'")
    command.add_argument("records", nargs="+", metavar="RECORD", help="a record.json, or a folder with some in it")
    command.set_defaults(run="search")
    command = commands.add_parser("schema", help="print the JSON Schema of record.json, or of a cue of counter.vtt")
    command.add_argument(
        "form", nargs="?", default="record.json", choices=("record.json", "counter.vtt"), help="default: record.json"
    )
    command.set_defaults(run="schema")


def _add_screen(commands: _Commands) -> None:
    what = "render the rep counter as a transparent video to lay over the class"
    command = commands.add_parser("overlay", help=what, description=f"{what[:1].upper()}{what[1:]}: WebM, VP9.")
    command.add_argument("record", metavar="RECORD", help="a record.json; - for standard input")
    command.add_argument("-o", dest="output", metavar="FILE", type=Path, required=True, help="such as counter.webm")
    command.add_argument("--size", default="1280x720", metavar="WxH", help="in pixels (default: 1280x720)")
    command.add_argument("--rate", default="30", help="frames a second, such as 25 or 29.97 (default: 30)")
    command.add_argument("--quiet", action="store_true", help="print nothing but errors")
    command.set_defaults(run="overlay")
    what = "hold a counter or captions that are already made against a record"
    command = commands.add_parser("compare", help=what, description=f"{what[:1].upper()}{what[1:]}.")
    command.add_argument("record", metavar="RECORD", help="a record.json; - for standard input")
    command.add_argument("onscreen", metavar="ONSCREEN", type=Path, help="WebVTT, SubRip, SubStation Alpha or CSV")
    command.add_argument("-o", dest="output", metavar="FILE", type=Path, help="write every verdict as CSV")
    command.add_argument("--strict", action="store_true", help="exit 1 where something does not agree")
    command.add_argument("--quiet", action="store_true", help="print nothing but errors")
    command.set_defaults(run="compare")


def _add_lexicon(commands: _Commands) -> None:
    parent = commands.add_parser("lexicon", help="look up exercises, check a file of them, propose new ones")
    actions = parent.add_subparsers(title="commands", metavar="COMMAND", required=True)
    command = actions.add_parser("find", help="search by name, muscle or equipment")
    command.add_argument("words", nargs="+", metavar="WORDS")
    command.set_defaults(run="find")
    command = actions.add_parser("check", help="print every problem of a file of exercises")
    command.add_argument("file", metavar="FILE", type=Path)
    command.set_defaults(run="check")
    command = actions.add_parser("propose", help="print CSV lines for exercises that the lexicon lacks")
    command.add_argument("records", nargs="+", metavar="RECORD", help="a record.json")
    command.set_defaults(run="propose")


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
