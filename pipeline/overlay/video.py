"""VP9 with alpha in WebM, frame by frame.

Each picture is encoded once, and every frame after it that shows the same is a VP9 frame of one byte:
``show_existing_frame`` (VP9 Bitstream & Decoding Process Specification, 6.2 and 7.2), which shows a decoded
frame again. So a still minute costs neither time nor room, and the rate of frames stays even, as editing
programs want it. Alpha is a second VP9 stream that rides along as BlockAdditional 1 of each block (WebM
container guidelines, "Alpha channel").
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Final

from pipeline.overlay.picture import draw
from pipeline.overlay.spans import Span

if TYPE_CHECKING:
    import av
    from av.packet import PacketSideData
    from av.video.stream import VideoStream

KEYFRAME_SECONDS = 5
"""At least so often a frame stands on its own, so that an editor can jump to any place at once."""

ENCODER = {
    # One frame in, one frame out: no looking ahead, no frames that are never shown.
    "lag-in-frames": "0",
    "auto-alt-ref": "0",
    # No frame leans on the state of the decoder after the one before, so frames may be put between.
    "error-resilient": "1",
    "deadline": "realtime",
    "cpu-used": "5",
    # Constant quality, near to lossless, which costs little as most frames are pictures shown again.
    "crf": "4",
    "b": "0",
}
"""Settings of libvpx's VP9 encoder."""

BT709, NARROW_RANGE = 1, 1
"""ITU-T H.273: colour primaries, transfer and matrix of BT.709; FFmpeg's number for the narrow range."""

ALPHA: Final = "matroska_block_additional"
ALPHA_ID = (1).to_bytes(8, "big")


def write_video(
    path: Path,
    spans: Iterable[Span],
    size: tuple[int, int],
    rate: Fraction,
    progress: Callable[[int], object],
) -> None:
    """Write the frames of ``spans`` to a WebM file; ``progress`` is told the frames done after each picture.

    Raises ``OSError`` where the file cannot be written.
    """
    import av
    import numpy as np

    keyframe_every = round(KEYFRAME_SECONDS * rate)
    with av.open(str(path), "w", format="webm") as container:
        stream = _add_stream(container, size, rate)
        keyframe_due = 0
        before: int | None = None
        for span in spans:
            pixels = np.asarray(draw(span.state, size))
            shown = span.state.set if span.state else None
            # A panel that comes or goes leaves no trace of the one before.
            if shown != before:
                keyframe_due, before = span.first, shown
            at = span.first
            while at < span.stop:
                is_key = at >= keyframe_due
                if is_key:
                    keyframe_due = at + keyframe_every
                frame = av.VideoFrame.from_ndarray(pixels, format="rgba")
                frame = frame.reformat(format="yuva420p", dst_colorspace="ITU709")
                frame.pts, frame.time_base = at, 1 / rate
                if is_key:
                    frame.pict_type = av.video.frame.PictureType.I
                (packet,) = stream.encode(frame)
                again = _show_again(packet)
                container.mux(packet)
                stop = min(span.stop, keyframe_due)
                for still in range(at + 1, stop):
                    container.mux(_packet(stream, still, 1 / rate, again))
                at = stop
            progress(span.stop)
        container.mux(stream.encode(None))


def _add_stream(container: av.container.OutputContainer, size: tuple[int, int], rate: Fraction) -> VideoStream:
    stream = container.add_stream("libvpx-vp9", rate=rate, options=ENCODER)
    stream.width, stream.height = size
    stream.pix_fmt = "yuva420p"
    stream.time_base = 1 / rate
    context = stream.codec_context
    # Key frames are placed here, not by the encoder.
    context.gop_size = 1 << 20
    context.colorspace = context.color_primaries = context.color_trc = BT709
    context.color_range = NARROW_RANGE
    stream.metadata["alpha_mode"] = "1"
    return stream


def _show_again(packet: av.Packet[VideoStream]) -> tuple[bytes, PacketSideData]:
    """Return the frame that shows a packet's picture again, and its alpha as side data."""
    from av.packet import PacketSideData, packet_sidedata_type_from_literal

    alpha = bytes(packet.get_sidedata(ALPHA))[len(ALPHA_ID) :]
    payload = ALPHA_ID + _existing_frame(alpha)
    # The constructor takes the kind's number and the length in bytes; its type stub has none.
    side_data = PacketSideData(  # type: ignore[call-arg]
        packet_sidedata_type_from_literal(ALPHA), len(payload)
    )
    side_data.update(payload)
    return _existing_frame(bytes(packet)), side_data


def _existing_frame(frame: bytes) -> bytes:
    """Return the frame of one byte that shows again what ``frame`` has decoded to.

    The bits of a header, from the first: frame_marker (2, "10"), profile (2, both 0 here),
    show_existing_frame, then frame_to_show_map_idx (3); or frame_type (0 for a key frame), show_frame,
    error_resilient_mode, and for a shown frame that is no key frame, refresh_frame_flags (8), as ENCODER's
    settings leave nothing between. A key frame is kept in every slot.
    """
    is_key = not frame[0] & 0b100
    refreshed = 0xFF if is_key else frame[1]
    slot = (refreshed & -refreshed).bit_length() - 1
    if frame[0] >> 3 != 0b10000 or slot < 0:
        raise ValueError("this VP9 encoder gives frames that cannot be shown again")
    return bytes([0b10001000 | slot])


def _packet(
    stream: VideoStream, at: int, time_base: Fraction, content: tuple[bytes, PacketSideData]
) -> av.Packet[av.stream.Stream]:
    import av

    frame, alpha = content
    packet = av.Packet(frame)
    packet.stream = stream
    packet.time_base = time_base
    packet.pts = packet.dts = at
    packet.duration = 1
    packet.set_sidedata(alpha)
    return packet
