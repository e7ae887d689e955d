"""What the README promises is what there is."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from dataclasses import asdict
from pathlib import Path

import pytest

from pipeline.audit import Settings
from pipeline.publish import FORMATS, WRITERS
from pipeline.settings_file import read_settings
from pipeline.transcripts.formats import READERS
from tests.cli.running import COMMAND, ROOT

README = (ROOT / "README.md").read_text("utf-8")


def section(title: str) -> str:
    return README.partition(f"\n## {title}\n")[2].partition("\n## ")[0]


def blocks(language: str, text: str = README) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", text, re.DOTALL)


def test_two_commands_set_everything_up_and_their_programs_are_here() -> None:
    commands = [line for block in blocks("sh", section("Two commands")) for line in block.splitlines()]
    assert len(commands) == 2
    for command in commands:
        program = ROOT / command.split()[0]
        assert os.access(program, os.X_OK)
        assert subprocess.run(["bash", "-n", program], capture_output=True).stderr == b""
    sample = ROOT / re.findall(r"samples/\S+", commands[0])[0]
    assert sample.is_file()


def test_every_file_written_is_listed() -> None:
    listed = re.findall(r"^\| `([\w.]+)` \|", section("What comes out"), re.MULTILINE)
    assert sorted(listed) == sorted(WRITERS)


def test_every_form_made_when_asked_for_is_listed() -> None:
    rows = re.findall(r"^\| ((?:`[\w.-]+`(?:, )?)+) \|", section("The command"), re.MULTILINE)
    listed = [name for row in rows for name in re.findall(r"`([\w.-]+)`", row)]
    assert sorted(listed) == sorted({"--as"} | FORMATS.keys() - WRITERS.keys())


def test_every_command_listed_is_there_and_every_command_is_listed() -> None:
    listed = re.findall(r"^\| `repslate ([a-z ]+?) ?[A-Z`]", section("The command"), re.MULTILINE)
    for words in listed:
        subprocess.run([*COMMAND, *words.split(), "--help"], check=True, capture_output=True, cwd=ROOT)
    shown = ""
    for words in ([], ["lexicon"]):
        done = subprocess.run([*COMMAND, *words, "--help"], capture_output=True, text=True, cwd=ROOT)
        shown += done.stdout.partition("COMMAND\n")[2]
    there = set(re.findall(r"^    (\w+)", shown, re.MULTILINE)) - {"lexicon"}
    assert there == {words.split()[-1] for words in listed}


def test_every_format_read_is_listed() -> None:
    rows = re.findall(r"^\| (?!format|---)", section("What it reads"), re.MULTILINE)
    assert len(rows) == len(READERS)


def test_the_tolerances_listed_are_the_usual_values() -> None:
    listed: dict[str, float] = {}
    for names, values in re.findall(r"^\| (`.*?`) \| ([\d., ]+) \|", section("Settings"), re.MULTILINE):
        keys = re.findall(r"`(\w+)`", names)
        listed.update(zip(keys, map(float, values.split(", ")), strict=True))
    assert listed == asdict(Settings())


def test_the_settings_shown_are_read(tmp_path: Path) -> None:
    (shown,) = blocks("yaml", section("Settings"))
    (tmp_path / "settings.yaml").write_text(shown, "utf-8")
    assert read_settings(tmp_path / "settings.yaml") == Settings(hold_seconds=3.0, least_confidence=0.5)


def test_the_python_shown_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(ROOT / "samples", tmp_path / "samples")
    monkeypatch.chdir(tmp_path)
    (shown,) = blocks("python")
    names: dict[str, object] = {}
    exec(compile(shown, "README.md", "exec"), names)
    assert {path.name for path in (tmp_path / "out" / "from-python").iterdir()} == set(WRITERS)


def test_every_path_named_is_in_the_project() -> None:
    for text in (README, (ROOT / "DEVELOPERS.md").read_text("utf-8")):
        for path in re.findall(r"`((?:pipeline|lexicon|tests|samples|notebooks|\.ci)/[\w./-]*)`", text):
            if path != "pipeline/transcripts/NAME.py" and path != "pipeline/publish/NAME.py":
                assert (ROOT / path).exists(), path
