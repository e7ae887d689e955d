"""Frame rates, and times as frames and timecode.

A rate is named as editors name it: ``25``, ``23.976``, ``29.97``, and ``29.97df`` where its timecode drops
frame numbers. The rates that end in thousandths are exactly 24000/1001, 30000/1001 and 60000/1001.

Timecode counts ``nominal`` frames a second (SMPTE ST 12-1). At 29.97 that falls behind the clock by 3.6 s an
hour; drop-frame timecode leaves out the first two numbers of each minute but every tenth (the first four at
59.94), and no frame.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from pipeline.model import InputError

HOURS_A_DAY = 24


@dataclass(frozen=True, slots=True)
class Rate:
    """A frame rate: frames a second exactly, the whole number its timecode counts, and whether it drops."""

    name: str
    exact: Fraction
    nominal: int
    drop: bool = False

    def frame_at(self, seconds: float) -> int:
        """Return the frame whose start is nearest to a time, counted from 0."""
        # Milliseconds are what the record holds; through them no rounding of floats moves a frame.
        return int(Fraction(round(max(seconds, 0.0) * 1000), 1000) * self.exact + Fraction(1, 2))

    def seconds(self, frame: int) -> Fraction:
        """Return when a frame starts, in seconds."""
        return frame / self.exact

    def timecode(self, frame: int) -> str:
        """Return a frame's timecode: ``hh:mm:ss:ff``, or ``hh:mm:ss;ff`` where numbers are dropped."""
        number = self._dropped_number(frame) if self.drop else frame
        seconds, frames = divmod(number, self.nominal)
        hours, minutes = seconds // 3600 % HOURS_A_DAY, seconds // 60 % 60
        mark = ";" if self.drop else ":"
        return f"{hours:02}:{minutes:02}:{seconds % 60:02}{mark}{frames:02}"

    def _dropped_number(self, frame: int) -> int:
        """Return the number that a frame carries after all those dropped before it."""
        left_out = self.nominal // 15  # 2 of 30, 4 of 60
        in_minute = self.nominal * 60 - left_out
        in_ten = in_minute * 10 + left_out
        tens, rest = divmod(frame, in_ten)
        minutes = max(rest - left_out, 0) // in_minute
        return frame + left_out * (9 * tens + minutes)


RATES = {
    one.name: one
    for one in (
        Rate("23.976", Fraction(24000, 1001), 24),
        Rate("24", Fraction(24), 24),
        Rate("25", Fraction(25), 25),
        Rate("29.97", Fraction(30000, 1001), 30),
        Rate("29.97df", Fraction(30000, 1001), 30, drop=True),
        Rate("30", Fraction(30), 30),
        Rate("50", Fraction(50), 50),
        Rate("59.94", Fraction(60000, 1001), 60),
        Rate("59.94df", Fraction(60000, 1001), 60, drop=True),
        Rate("60", Fraction(60), 60),
    )
}
"""The rates by name."""

DEFAULT_RATE = "25"


def read_rate(name: str) -> Rate:
    """Return a rate by name; raise :class:`~pipeline.model.InputError` where there is none of that name."""
    if name not in RATES:
        raise InputError("--rate", None, f"{name!r} is no frame rate known here", f"one of {', '.join(RATES)}")
    return RATES[name]
