"""The command starts light, says what it can do, and stops cleanly."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from pipeline.cli import main
from tests.cli.running import COMMAND, ROOT, run

HEAVY = ("spacy", "pandas", "numpy", "faster_whisper", "yaml", "rapidfuzz")
COMMANDS = ([], ["analyze"], ["export"], ["schema"], ["lexicon"], ["lexicon", "find"])


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_help_names_the_command_and_loads_nothing_heavy(words: list[str]) -> None:
    program = (
        "import sys\n"
        "from pipeline.cli import main\n"
        f"try: main({[*words, '--help']!r})\n"
        "except SystemExit as stopped: print(stopped.code)\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules])\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, cwd=ROOT)
    assert done.stdout.startswith(" ".join(["usage: repslate", *words]))
    assert done.stdout.splitlines()[-2:] == ["0", "[]"]


def test_help_carries_the_usual_cautions(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--help"])
    said = " ".join(capsys.readouterr().out.split())
    assert "Stop on pain; ask a qualified professional; follow local rules." in said


def test_the_console_script_is_this_command() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    assert project["scripts"] == {"repslate": f"{main.__module__}:{main.__name__}"}


def test_a_version_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["--version"])
    assert stopped.value.code == 0
    assert capsys.readouterr().out.startswith("repslate")


@pytest.mark.parametrize(
    ("words", "named"),
    [
        ([], "COMMAND"),
        (["dance"], "dance"),
        (["analyze"], "INPUT"),
        (["analyze", "a.vtt", "--loud"], "--loud"),
        (["export", "record.json"], "--as"),
        (["lexicon"], "COMMAND"),
    ],
)
def test_a_slip_in_the_words_is_one_line(words: list[str], named: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(words)
    said = capsys.readouterr().err
    assert stopped.value.code == 2
    assert said.count("\n") == 1
    assert named in said
    assert "--help" in said


def test_a_reader_who_has_gone_is_no_error() -> None:
    gone, ours = os.pipe()
    os.close(gone)
    done = subprocess.run([*COMMAND, "schema"], stdout=ours, stderr=subprocess.PIPE, cwd=ROOT)
    os.close(ours)
    assert done.stderr == b""
    assert done.returncode == 128 + signal.SIGPIPE


def test_stopping_from_the_keyboard_is_one_line_and_leaves_nothing(tmp_path: Path) -> None:
    pipe = tmp_path / "class.vtt"
    os.mkfifo(pipe)
    process = subprocess.Popen(
        [*COMMAND, "analyze", str(pipe), "-o", str(tmp_path / "out")], stderr=subprocess.PIPE, cwd=ROOT
    )
    # Opening a pipe to write waits until the command has opened it to read.
    with pipe.open("wb"):
        process.send_signal(signal.SIGINT)
        _, said = process.communicate()
    assert process.returncode == 128 + signal.SIGINT
    assert said.count(b"\n") == 1
    assert said.startswith(b"repslate: stopped")
    assert list(tmp_path.iterdir()) == [pipe]


def test_the_schema_is_printed_as_json_schema() -> None:
    import json

    import jsonschema

    done = run("schema")
    assert done.returncode == 0
    jsonschema.Draft202012Validator.check_schema(json.loads(done.stdout))
