"""A file is written whole, or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.model import InputError
from pipeline.whole_file import written_whole

REMEDY = "another folder"


def test_until_all_is_written_the_old_file_stands(tmp_path: Path) -> None:
    path = tmp_path / "class.csv"
    path.write_text("old", "utf-8")
    with written_whole(path, REMEDY) as staging:
        staging.write_text("new", "utf-8")
        assert path.read_text("utf-8") == "old"
    assert path.read_text("utf-8") == "new"
    assert list(tmp_path.iterdir()) == [path]


def write_half(path: Path, failure: BaseException) -> None:
    with written_whole(path, REMEDY) as staging:
        staging.write_text("ne", "utf-8")
        raise failure


@pytest.mark.parametrize("failure", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_what_stops_half_way_leaves_the_old_file_and_nothing_beside_it(tmp_path: Path, failure: BaseException) -> None:
    path = tmp_path / "class.csv"
    path.write_text("old", "utf-8")
    with pytest.raises((InputError, KeyboardInterrupt)):
        write_half(path, failure)
    assert path.read_text("utf-8") == "old"
    assert list(tmp_path.iterdir()) == [path]


def test_a_place_that_cannot_be_written_to_is_told_in_one_line(tmp_path: Path) -> None:
    path = tmp_path / "missing" / "class.csv"
    with pytest.raises(InputError) as caught, written_whole(path, REMEDY) as staging:
        staging.write_text("new", "utf-8")
    assert str(caught.value) == f"{path}: cannot be written (No such file or directory); {REMEDY}"
