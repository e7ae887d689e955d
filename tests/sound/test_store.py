from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.model import Word
from pipeline.transcripts.recognition.store import Store, clear_cache, content_key

ONE = Word("One.", 1.0, 1.4, probability=0.9)
TWO = Word("Two.", 4.0, 4.4, probability=0.8)
ABOUT = {"duration": 5.0, "warnings": []}


def test_what_was_kept_is_there_again(tmp_path: Path) -> None:
    store = Store(tmp_path, "a")
    store.add(0.5, 2.0, [ONE])
    assert Store(tmp_path, "a").get(0.5, 2.0) == [ONE]
    assert Store(tmp_path, "a").get(0.5, 2.5) is None
    assert Store(tmp_path, "b").get(0.5, 2.0) is None


def test_a_window_without_words_was_recognised_too(tmp_path: Path) -> None:
    Store(tmp_path, "a").add(0.5, 2.0, [])
    assert Store(tmp_path, "a").get(0.5, 2.0) == []


def test_a_finished_recording_is_told_from_a_stopped_one(tmp_path: Path) -> None:
    store = Store(tmp_path, "a")
    store.add(0.5, 2.0, [ONE])
    assert Store(tmp_path, "a").finished is None
    Store(tmp_path, "a").finish(ABOUT)
    again = Store(tmp_path, "a")
    assert again.finished == ABOUT
    assert again.windows == [[ONE]]


def test_a_kill_at_any_byte_loses_no_more_than_the_line_being_written(tmp_path: Path) -> None:
    store = Store(tmp_path / "whole", "a")
    store.add(0.5, 2.0, [ONE])
    store.add(3.5, 5.0, [TWO])
    (path,) = (tmp_path / "whole").iterdir()
    text = path.read_bytes()
    first_line = text.index(b"\n") + 1
    for length in range(len(text) + 1):
        folder = tmp_path / str(length)
        folder.mkdir()
        (folder / path.name).write_bytes(text[:length])
        broken = Store(folder, "a")
        kept = (length >= first_line) + (length == len(text))
        assert len(broken.windows) == kept
        broken.add(9.0, 9.5, [TWO])
        assert len(Store(folder, "a").windows) == kept + 1


@pytest.mark.parametrize("damage", [b"\xff\xfe", b"[]\n", b'{"window": 1, "words": []}\n', b'{"finished": 3}\n'])
def test_a_damaged_file_is_no_more_than_no_file(tmp_path: Path, damage: bytes) -> None:
    for ending in (".words.jsonl", ".part.jsonl"):
        (tmp_path / f"a{ending}").write_bytes(damage)
    store = Store(tmp_path, "a")
    assert store.finished is None
    assert store.windows == []


def test_a_folder_that_cannot_be_written_to_stops_nothing(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    store = Store(tmp_path / "file" / "cache", "a")
    store.add(0.5, 2.0, [ONE])
    store.finish(ABOUT)
    assert store.windows == [[ONE]]
    assert store.finished == ABOUT


def test_clearing_deletes_what_is_kept_and_nothing_else(tmp_path: Path) -> None:
    Store(tmp_path, "a").add(0.5, 2.0, [ONE])
    Store(tmp_path, "b").finish(ABOUT)
    (tmp_path / "notes.txt").write_text("mine")
    assert clear_cache(tmp_path) == 2
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]
    assert clear_cache(tmp_path / "never made") == 0


def test_a_key_stands_for_content_and_settings_not_for_the_name(tmp_path: Path) -> None:
    for name, content in (("a", b"x" * 9), ("b", b"x" * 9), ("c", b"y" * 9)):
        (tmp_path / name).write_bytes(content)
    key = content_key(tmp_path / "a", {"model": "m"})
    assert key == content_key(tmp_path / "b", {"model": "m"})
    assert key != content_key(tmp_path / "c", {"model": "m"})
    assert key != content_key(tmp_path / "a", {"model": "n"})
