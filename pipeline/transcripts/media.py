"""Telling recordings and other binary files from text by their first bytes.

Sources of the magic numbers: RIFF/WAVE (Microsoft and IBM, Multimedia Programming Interface 1.0), ID3v2
(id3.org), MPEG audio frame sync (ISO/IEC 11172-3, 2.4.1.3), ADTS (ISO/IEC 13818-7), ``ftyp`` (ISO/IEC
14496-12, 4.3), EBML (RFC 8794, 8.1 and 11.2.1), Ogg (RFC 3533, 6), FLAC (RFC 9639, 6), AIFF (EA IFF 85),
MPEG program stream and transport stream (ISO/IEC 13818-1), ASF (Advanced Systems Format, 3.1), AMR (RFC
4867, 5.1).
"""

from __future__ import annotations

PREFIXES = (
    b"ID3",
    b"OggS",
    b"fLaC",
    b"\x1a\x45\xdf\xa3",
    b"\x00\x00\x01\xba",
    b"\x00\x00\x01\xb3",
    b"\x30\x26\xb2\x75\x8e\x66\xcf\x11",
    b"#!AMR",
    b"FLV\x01",
    b".snd\x00",
)
OTHER_BINARY = (
    b"%PDF-",
    b"PK\x03\x04",
    b"\x89PNG",
    b"\xff\xd8\xff",
    b"GIF8",
    b"\x1f\x8b",
    b"7z\xbc\xaf",
    b"{\\rtf",
)
TRANSPORT_PACKET = 188
"""Bytes in a packet of an MPEG transport stream; each begins with 0x47 (ISO/IEC 13818-1, 2.4.3.2)."""

CONTROL_SHARE = 0.05
"""Control characters in a text file: none but tabs and line ends. More than this share is no text at all."""


def looks_like_media(data: bytes) -> bool:
    """Tell from its first bytes (64 will do; 400 for a transport stream) whether a file is sound or film."""
    if data.startswith(PREFIXES):
        return True
    if data[:4] in (b"RIFF", b"RF64", b"FORM") and data[8:12] in (b"WAVE", b"AVI ", b"AIFF", b"AIFC"):
        return True
    if data[4:8] in (b"ftyp", b"moov", b"mdat", b"wide") and data[:2] == b"\x00\x00":
        return True
    if data[:1] == b"\x47" and data[TRANSPORT_PACKET : TRANSPORT_PACKET + 1] == b"\x47" and b"\x00" in data[:400]:
        return True
    return _is_mpeg_audio_frame(data)


def looks_binary(data: bytes) -> bool:
    """Tell whether bytes without a byte-order mark are something other than text."""
    if b"\x00" in data or data.startswith(OTHER_BINARY):
        return True
    control = sum(byte < 32 and byte not in (9, 10, 12, 13, 27) for byte in data[:4096])
    return control > CONTROL_SHARE * len(data[:4096])


def _is_mpeg_audio_frame(data: bytes) -> bool:
    """Look for the 11-bit sync, and reserved values in none of the fields after it.

    UTF-16 text with a byte-order mark begins with FF FE: as a frame header that is layer I without a checksum
    of a bit rate that the next byte must give; a text's next bytes, a letter and NUL, give none.
    """
    if len(data) < 4 or data[0] != 0xFF or data[1] & 0xE0 != 0xE0 or data[:2] == b"\xff\xfe":
        return False
    version, layer = data[1] >> 3 & 3, data[1] >> 1 & 3
    if data[1] & 0xF6 == 0xF0:
        return True
    bitrate, rate = data[2] >> 4, data[2] >> 2 & 3
    return version != 1 and layer != 0 and bitrate not in (0, 15) and rate != 3
