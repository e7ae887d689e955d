"""``repslate embed``: chapters and captions of a record put into a copy of its film."""

from __future__ import annotations

from pathlib import Path

from pipeline.commands.records import read_record


def embed_record(film: Path, source: str, output: Path, grain: str | None, template: str | None) -> str:
    """Write the copy and return what went into it, as a line for a terminal.

    Raises :class:`~pipeline.model.InputError`.
    """
    from pipeline.embed import embed
    from pipeline.publish.report_words import count_text

    copied = embed(film, read_record(source), output, grain or "exercise", template)
    chapters, captions = count_text(copied.chapters, "chapter"), count_text(copied.captions, "caption")
    lines = [f"{output}: {chapters} and {captions} added to {film.name}"]
    lines += [f"  left out, as the new container cannot hold it: {stream}" for stream in copied.left_out]
    return "\n".join(lines) + "\n"
