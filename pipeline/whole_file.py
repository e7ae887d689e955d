"""A file that is written whole or not at all: beside its place first, then under its name at once."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from pipeline.model import InputError


@contextmanager
def written_whole(path: Path, remedy: str) -> Iterator[Path]:
    """Give the path to write to; it becomes ``path`` when the block ends, and is gone where the block fails.

    ``remedy`` says what would do where the place cannot be written. Raises :class:`~pipeline.model.InputError`
    for every :class:`OSError` of the block and of the renaming.
    """
    staging = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        yield staging
        os.replace(staging, path)
    except OSError as error:
        raise InputError(str(path), None, f"cannot be written ({error.strerror or error})", remedy) from error
    finally:
        with suppress(OSError):
            staging.unlink()
