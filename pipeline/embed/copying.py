"""The copying itself: packets go from the film to the copy as they are, captions between them when due."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pipeline.embed.containers import Container
from pipeline.embed.packets import packets_from_zero, put_after
from pipeline.model import InputError, Record
from pipeline.publish.captions import Caption, cut_captions
from pipeline.publish.clock import clock
from pipeline.publish.grain import PublishedChapter

if TYPE_CHECKING:
    from av.container import InputContainer, OutputContainer
    from av.stream import Stream

    from pipeline.embed.packets import Packet

LEEWAY = 2.0
"""Seconds that the last chapter may start after the film's end: a clock may be read a little off."""

AHEAD = 1
"""Seconds that a caption is handed over before its time, so that it lies where it is shown."""

HELD = Fraction(1, 5)
"""Seconds of packets that FFmpeg may hold back to sort them by time. They come sorted; without a bound it holds 10 s
for a caption track that has nothing to say yet, which is memory, and a slower copy of what has left the cache."""

MILLISECOND = Fraction(1, 1000)
LANGUAGE = "eng"

# What a container says of itself; copied, it would speak of the old file.
_OWN_TAGS = frozenset({"major_brand", "minor_version", "compatible_brands", "encoder", "creation_time"})


@dataclass(frozen=True, slots=True)
class Copied:
    """What went into a copy: how many chapters and captions, and which streams could not come along."""

    chapters: int
    captions: int
    left_out: tuple[str, ...]


def copy_film(
    film: Path, record: Record, chapters: Sequence[PublishedChapter], target: Path, container: Container
) -> Copied:
    """Copy ``film`` to ``target`` with chapters and captions; raise ``InputError`` where it cannot be read.

    ``OSError`` is raised where the copy cannot be written.
    """
    av = _pyav()
    accepted = "a film that FFmpeg can read, such as an MP4 or Matroska file, is accepted"
    try:
        source = av.open(str(film))
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(str(film), None, f"cannot be read as a film ({reason})", accepted) from error
    with source:
        kept, left_out = _choose(source, container)
        if not any(stream.type in {"video", "audio"} for stream in kept):
            raise InputError(str(film), None, "has neither picture nor sound", accepted)
        length = _length(source)
        _check_length(film, chapters, length)
        captions = cut_captions(record)
        packets, earliest = packets_from_zero(source, kept)
        shift = -earliest if container.starts_at_zero and earliest < 0 else Fraction(0)
        held = {"max_interleave_delta": str(round(HELD * 1_000_000))}
        with av.open(str(target), "w", format=container.name, options=held) as copy:
            copies = _add_streams(copy, source, kept)
            track = _add_caption_track(copy, container) if captions else None
            copy.set_chapters(_chapters(chapters, length, shift))
            due = deque(_caption_packets(av, captions, track, container)) if track is not None else deque()
            try:
                _mux(copy, packets, copies, due, container)
            except ValueError as error:
                reason = getattr(error, "strerror", None) or str(error)
                problem = f"has a packet that cannot be copied ({reason})"
                raise InputError(str(film), None, problem, "give the film as it was exported, whole") from error
    return Copied(len(chapters), len(captions), tuple(left_out))


def _choose(source: InputContainer, container: Container) -> tuple[list[Stream], list[str]]:
    """Return the streams to copy, and words for those that are not."""
    kept: list[Stream] = []
    left_out: list[str] = []
    for stream in source.streams:
        codec = _codec(stream)
        text_fits = container.keeps is None or codec in container.keeps
        if stream.type in {"video", "audio"} or (stream.type == "subtitle" and text_fits):
            kept.append(stream)
        elif not _is_chapter_track(stream, source):
            left_out.append(f"stream {stream.index} ({stream.type}, {codec})")
    return kept, left_out


def _codec(stream: Stream) -> str:
    context = stream.codec_context
    return stream.type if context is None else context.codec.canonical_name


def _is_chapter_track(stream: Stream, source: InputContainer) -> bool:
    """Tell the text track in which QuickTime and MP4 files keep their chapters; the new ones replace it."""
    return stream.type == "data" and bool(source.chapters())


def _length(source: InputContainer) -> float | None:
    return None if source.duration is None else source.duration / 1_000_000


def _check_length(film: Path, chapters: Sequence[PublishedChapter], length: float | None) -> None:
    if length is None or not chapters or chapters[-1].start <= length + LEEWAY:
        return
    problem = f"ends at {clock(length)}, before the record's last chapter at {clock(chapters[-1].start)}"
    raise InputError(str(film), None, problem, "give the film that the record was made from")


def _add_streams(copy: OutputContainer, source: InputContainer, kept: Sequence[Stream]) -> dict[int, Stream]:
    copies: dict[int, Stream] = {}
    for stream in kept:
        try:
            made = copy.add_stream_from_template(stream)
        except ValueError as error:
            problem = f"has {stream.type} in {_codec(stream)}, which the container {copy.format.name} cannot hold"
            raise InputError(source.name, None, problem, "give a name that ends in .mkv with -o") from error
        made.metadata.update({k: v for k, v in stream.metadata.items() if k not in _OWN_TAGS})
        made.disposition = stream.disposition
        copies[stream.index] = made
    copy.metadata.update({k: v for k, v in source.metadata.items() if k not in _OWN_TAGS})
    return copies


def _add_caption_track(copy: OutputContainer, container: Container) -> Stream:
    track = copy.add_mux_stream(container.captions)
    track.time_base = MILLISECOND
    track.metadata.update({"language": LANGUAGE, "title": "Captions", "handler_name": "Captions"})
    return track


def _chapters(chapters: Sequence[PublishedChapter], length: float | None, shift: Fraction) -> list[Any]:
    out = []
    moved = round(shift / MILLISECOND)
    for number, one in enumerate(chapters, 1):
        end = max(one.end if length is None or number < len(chapters) else length, one.start)
        # The first chapter starts with the file, be there a lead-in of sound or not.
        start = round(one.start * 1000) + (moved if number > 1 else 0)
        times = {"start": start, "end": round(end * 1000) + moved}
        out.append({"id": number, **times, "time_base": MILLISECOND, "metadata": {"title": one.title}})
    return out


def _caption_packets(av: Any, captions: Iterable[Caption], track: Stream, container: Container) -> Iterator[Packet]:
    for caption in captions:
        packet = av.Packet(container.payload("\n".join(caption.lines)))
        packet.stream = track
        packet.time_base = MILLISECOND
        packet.pts = packet.dts = round(caption.start * 1000)
        packet.duration = max(round((caption.end - caption.start) * 1000), 1)
        packet.is_keyframe = True
        yield packet


def _mux(
    copy: OutputContainer,
    packets: Iterable[Packet],
    copies: dict[int, Stream],
    due: deque[Packet],
    container: Container,
) -> None:
    """Write packets in their order, each caption when the first stream is about to reach its time."""
    lead, mux = next(iter(copies)), copy.mux_one
    limit: float | None = None
    steps = {i: 0 if container.repeats_times or stream.type == "subtitle" else 1 for i, stream in copies.items()}
    earliest: dict[int, float] = dict.fromkeys(copies, float("-inf"))
    pushed: dict[int, int] = {}
    # There are hundreds of thousands of packets in an hour: each is asked for as little as can be.
    for packet in packets:
        time = packet.dts
        if time is None:
            time = packet.dts = packet.pts
            if time is None:
                if packet.size:
                    raise ValueError("it has no time")
                continue  # the end of a stream
        index = packet.stream_index
        if index == lead:
            if limit is None:
                limit = _limit(due, packet.time_base)
            while time >= limit:
                mux(due.popleft())
                limit = _limit(due, packet.time_base)
        if time < earliest[index]:
            pushed[index] = pushed.get(index, 0) + 1
            time = int(earliest[index]) - steps[index]
            put_after(packet, time, steps[index] * pushed[index], copies[index])
        elif pushed:
            pushed.pop(index, None)
        earliest[index] = time + steps[index]
        packet.stream = copies[index]
        mux(packet)
    for caption in due:
        mux(caption)


def _limit(due: deque[Packet], time_base: Fraction) -> float:
    """Return the tick of a stream at which the next caption is handed over, never where there is none."""
    return int(((due[0].pts or 0) * MILLISECOND - AHEAD) / time_base) if due else float("inf")


def _pyav() -> Any:
    try:
        import av
    except ImportError as error:
        problem = "needs PyAV, which is not installed"
        raise InputError("embed", None, problem, 'install it with "pip install av"') from error
    return av
