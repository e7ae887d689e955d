"""Repslate: what happens when in a follow-along exercise class, from its timed transcript.

``analyze(read("class.vtt"))`` gives the record of one class. Nothing heavy is imported before it is used.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pipeline.analyze import analyze
    from pipeline.transcripts import read

__all__ = ["analyze", "read"]


def __getattr__(name: str) -> Any:
    if name == "read":
        from pipeline.transcripts import read

        return read
    if name == "analyze":
        from pipeline.analyze import analyze

        return analyze
    raise AttributeError(name)
