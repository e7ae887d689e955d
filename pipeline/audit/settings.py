"""Every tolerance of the audit, in one place, each with its unit and reason."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Settings:
    """Tolerances. Shares are of the announced value unless said otherwise.

    ``hold_share``, ``hold_seconds``: a hold is off the clock beyond both; people count seconds a little slowly.
    ``interval_share``, ``interval_seconds``: the same for working intervals, which run by a real clock.
    ``tempo_share``: how far the measured seconds a rep may be from the announced ones.
    ``half_share``: how far from the middle "halfway" may be called, as a share of the set.
    ``call_early``: "two more" said this share of a rep before one is done may count from after that one.
    ``beat_share``: a call this share of a rep off the set's beat was misread, or said of something else; a presenter's
    own beat wavers by half of that.
    ``heard_beat_share``: the same in words recognised from sound, where numbers said a rep apart may be timed as one
    phrase.
    ``room_share``: a set that goes on for this share of a rep after its last one may hold one more, done in silence.
    ``miscount_reps``: people miscount by a rep or two; a set further off what was announced was misread, or what was
    announced.
    ``least_confidence``: a finding less sure than this is not reported: false alarms cost more than they bring.
    """

    hold_share: float = 0.20
    hold_seconds: float = 2.0
    interval_share: float = 0.15
    interval_seconds: float = 3.0
    tempo_share: float = 0.35
    half_share: float = 0.15
    call_early: float = 0.45
    beat_share: float = 0.30
    heard_beat_share: float = 0.8
    room_share: float = 0.9
    miscount_reps: float = 2.0
    least_confidence: float = 0.30
