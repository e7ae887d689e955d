"""Repslate: what happens when in a follow-along exercise class, from its timed transcript.

``analyze(read("class.vtt"))`` gives the record of one class. Nothing heavy is imported before it is used.
"""

from pipeline.analyze import analyze
from pipeline.transcripts import read

__all__ = ["analyze", "read"]
