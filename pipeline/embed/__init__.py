"""Chapters and captions put into the film itself, MP4 or Matroska, without encoding anything anew.

``embed`` copies the streams packet by packet into a new file beside its place, which gets its name when it is whole.
From Matroska to Matroska memory does not grow with the film. MP4 has one index of all its packets, which whoever
reads or writes it must hold (ISO/IEC 14496-12, the sample table): 60 to 90 bytes a packet on either side in FFmpeg's
library, some 20 MB for an hour.
"""

from __future__ import annotations

from pathlib import Path

from pipeline.embed.containers import container_of
from pipeline.embed.copying import Copied, copy_film
from pipeline.model import InputError, Record
from pipeline.publish.chapter_list import listed_chapters
from pipeline.whole_file import written_whole

__all__ = ["Copied", "embed"]


def embed(film: Path, record: Record, output: Path, grain: str = "exercise", template: str | None = None) -> Copied:
    """Write a copy of ``film`` to ``output`` with the record's chapters and captions in it.

    Sound and picture are the film's own, bit for bit. Chapters that the film has are replaced; caption tracks
    that it has stay where the new container can hold them. Raises :class:`~pipeline.model.InputError` where
    the film, the record or the place cannot be used; then nothing is left behind.
    """
    container = container_of(output)
    if output.is_dir():
        raise InputError(str(output), None, "is a folder", "give a file's name with -o")
    if output.exists() and film.exists() and output.samefile(film):
        problem = "is the film itself, which is never written over"
        raise InputError(str(output), None, problem, "give another name with -o")
    if not output.parent.is_dir():
        raise InputError(str(output), None, "is in a folder that there is not", "make the folder first")
    chapters = listed_chapters(record, grain, template)
    with written_whole(output, "give a place with room for the film's copy") as staging:
        return copy_film(film, record, chapters, staging, container)
