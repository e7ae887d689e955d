"""A film's packets as they are to be written: from time 0, each with a time at which it is decoded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import chain
from math import ceil
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from av.container import InputContainer
    from av.packet import Packet as AnyPacket
    from av.stream import Stream

    Packet = AnyPacket[Stream]

MOST_PEEKED = 512
"""Packets looked at before the copy starts, enough for each stream of a film to show its first."""


def packets_from_zero(source: InputContainer, kept: Sequence[Stream]) -> tuple[Iterator[Packet], Fraction]:
    """Return the packets of the streams to keep, and the earliest time that one is shown at, in seconds.

    A film whose clock starts after 0 is moved to start at 0, as in players. It is read as the packets are taken;
    the earliest time comes from the first packets of each stream.
    """
    return _peek(_moved(source, kept), kept)


def put_after(packet: Packet, time: int, ticks: int, track: Stream) -> None:
    """Decode a packet at ``time`` and some ticks of the track that it goes into, and show it no earlier.

    Matroska rounds times to milliseconds, and packets may come to share one; MP4 wants them to rise.
    """
    shown = time if packet.pts is None else packet.pts
    if track.time_base:  # has one when its first packet is written
        finer = Fraction(packet.time_base) / Fraction(track.time_base)
        # Rounded up, as FFmpeg may have rounded the packet before it.
        time, shown = ceil(time * finer), ceil(shown * finer)
        packet.duration = round((packet.duration or 0) * finer)
        packet.time_base = track.time_base
    packet.dts = time + ticks
    packet.pts = max(shown, packet.dts)


def _moved(source: InputContainer, kept: Sequence[Stream]) -> Iterator[Packet]:
    packets: Iterator[Packet] = source.demux(*kept)
    start = Fraction(source.start_time or 0, 1_000_000)
    if start <= 0:
        yield from packets
        return
    ticks = {stream.index: round(start / stream.time_base) for stream in kept if stream.time_base}
    for packet in packets:
        moved = ticks.get(packet.stream.index, 0)
        packet.pts = None if packet.pts is None else packet.pts - moved
        packet.dts = None if packet.dts is None else packet.dts - moved
        yield packet


def _peek(packets: Iterator[Packet], kept: Sequence[Stream]) -> tuple[Iterator[Packet], Fraction]:
    seen: list[Packet] = []
    first: list[Fraction] = []
    waiting = {stream.index for stream in kept if stream.type in {"video", "audio"}}
    for packet in packets:
        seen.append(packet)
        if packet.pts is not None:
            first.append(packet.pts * packet.time_base)
        if packet.dts is not None:
            waiting.discard(packet.stream.index)
        if not waiting or len(seen) >= MOST_PEEKED:
            break
    _fill_decoding_times(seen)
    return chain(seen, packets), min(first, default=Fraction(0))


def _fill_decoding_times(packets: Sequence[Packet]) -> None:
    """Count back from the first decoding time of each stream to packets before it that have none.

    Matroska keeps only when a picture is shown, and FFmpeg knows when it is decoded from the third or so on.
    """
    following: dict[int, int] = {}
    for packet in reversed(packets):
        index = packet.stream.index
        if packet.dts is None and packet.pts is not None and index in following:
            packet.dts = following[index] - max(packet.duration or 1, 1)
        if packet.dts is not None:
            following[index] = packet.dts
