"""Times as people and formats write them."""

from __future__ import annotations

HOUR = 3600


def clock(seconds: float, hours: bool = False) -> str:
    """Return a time as ``m:ss``, or ``h:mm:ss`` from one hour on or where ``hours`` is asked for.

    The part of a second is cut off, not rounded: who jumps to the time must not miss the first word.
    """
    whole = int(max(seconds, 0.0) + 1e-6)
    minutes, rest = divmod(whole, 60)
    if hours or whole >= HOUR:
        return f"{minutes // 60}:{minutes % 60:02}:{rest:02}"
    return f"{minutes}:{rest:02}"


def timestamp(seconds: float) -> str:
    """Return a time as ``hh:mm:ss.ttt``, the long form of WebVTT (W3C WebVTT, "WebVTT timestamp")."""
    minutes, milliseconds = divmod(round(max(seconds, 0.0) * 1000), 60_000)
    return f"{minutes // 60:02}:{minutes % 60:02}:{milliseconds // 1000:02}.{milliseconds % 1000:03}"
