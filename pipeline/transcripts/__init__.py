"""Readers: a timed transcript goes in, in any of the forms in use, and a :class:`Transcript` comes out."""

from pipeline.transcripts.formats import read, read_bytes
from pipeline.transcripts.media import looks_like_media

__all__ = ["looks_like_media", "read", "read_bytes"]
