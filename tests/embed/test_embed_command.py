"""``repslate embed`` as a shell runs it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.running import run
from tests.embed.films import make_film, probe
from tests.publish.example import example_record


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A film and its record."""
    made = tmp_path_factory.mktemp("class")
    record = example_record("d01")
    (made / "record.json").write_text(record.to_json(), "utf-8")
    make_film(made / "class.mp4", record.source.duration, size="32x32", bits="20k")
    return made


def test_the_copy_has_the_chapters_at_the_grain_asked_for(folder: Path) -> None:
    copy = folder / "copy.mkv"
    title = "{number}/{exercise}"
    words = ("--grain", "set", "--template", title)
    done = run("embed", folder / "class.mp4", folder / "record.json", "-o", copy, *words)
    assert done.returncode == 0, done.stderr
    read = [one["tags"]["title"] for one in probe(copy)["chapters"]]
    assert "2/Dumbbell Romanian deadlift" in read
    assert f"{len(read)} chapters and " in done.stdout.decode()


def test_writing_over_the_film_ends_with_2_and_one_line(folder: Path) -> None:
    film = folder / "class.mp4"
    before = film.read_bytes()
    done = run("embed", film, folder / "record.json", "-o", film)
    assert done.returncode == 2
    assert done.stderr.decode().count("\n") == 1
    assert "never written over" in done.stderr.decode()
    assert film.read_bytes() == before


def test_a_record_that_is_none_ends_with_2(folder: Path) -> None:
    done = run("embed", folder / "class.mp4", folder / "class.mp4", "-o", folder / "none.mp4")
    assert done.returncode == 2
    assert not (folder / "none.mp4").exists()
