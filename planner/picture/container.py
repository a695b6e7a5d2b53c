"""What a picture file says of itself, read from its bytes before any decoder is let near them."""

from __future__ import annotations

import re

# What makers bring in place of a picture of pixels, by how such a file begins; all seen in their published formats.
_OTHER_KINDS: tuple[tuple[re.Pattern[bytes], str], ...] = tuple(
    (re.compile(beginning, re.IGNORECASE | re.DOTALL), name)
    for beginning, name in (
        (rb"(<\?xml.*?|<!--.*?|<!doctype svg.*?)?<svg[\s>/]", "a drawing of lines (SVG)"),
        (rb"(<!--.*?)?<(!doctype html|html|head|body|script)\b", "a web page (HTML)"),
        (rb"%pdf-", "a PDF document"),
        (rb"(%!ps|\xc5\xd0\xd3\xc6)", "a PostScript drawing"),
        (rb"bm.{4}\0\0\0\0", "a BMP picture"),
        (rb"(ii\*\0|mm\0\*|ii\+\0|mm\0\+)", "a TIFF or raw camera picture"),
        (rb"\0\0[\x01\x02]\0", "an icon file"),
        (rb".{4}ftyp(avif|avis)", "an AVIF picture"),
        (rb".{4}ftyp(hei|hev|mif1|msf1)", "a HEIC picture, as some telephones save them"),
        (rb".{4}ftyp", "a film"),
        (rb"8bps", "a layered drawing (PSD)"),
        (rb"(\xff\x0a|\0\0\0\x0cjxl )", "a JPEG XL picture"),
        (rb"\0\0\0\x0cjp  ", "a JPEG 2000 picture"),
        (rb"pk\x03\x04", "a ZIP archive"),
    )
)
_AFTER_ENTROPY = re.compile(rb"\xff[^\x00\xff\xd0-\xd7]")


def other_kind(data: bytes) -> str:
    """What the file is, when it is plainly something other than a picture that is read here; else ''.

    >>> other_kind(b'<?xml version="1.0"?><svg width="9"/>')
    'a drawing of lines (SVG)'
    """
    # A web page or drawing may open with a byte order mark and blank lines.
    start = data[:1024].removeprefix(b"\xef\xbb\xbf")
    for text in (start.lstrip(), start):
        for beginning, name in _OTHER_KINDS:
            if beginning.match(text):
                return name
    return ""


def jpeg_scans(data: bytes, most: int) -> int:
    """How many scans the first picture of a JPEG file holds, counted no further than ``most + 1``.

    Every scan makes a decoder walk the whole picture again, and an empty one costs a file only some thirty
    bytes. A segment opens with a marker and its length; after a scan's head come its bits, in which a marker
    cannot occur (ISO/IEC 10918-1, B.1).
    """
    scans, at = 0, 2
    while scans <= most and at + 4 <= len(data):
        if data[at] != 0xFF:
            return scans
        marker = data[at + 1]
        if marker == 0xFF:
            at += 1
            continue
        if marker == 0xD9:
            return scans
        if marker == 0x01 or 0xD0 <= marker <= 0xD7:
            at += 2
            continue
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
        if marker == 0xDA:
            scans += 1
            following = _AFTER_ENTROPY.search(data, at)
            if following is None:
                return scans
            at = following.start()
    return scans


def webp_is_lossless(data: bytes) -> bool:
    """Whether the first picture in a WebP file is kept without loss: its first bitstream chunk is VP8L
    (RFC 9649, section 2)."""
    at = 12
    while at + 8 <= len(data):
        kind, length = data[at : at + 4], int.from_bytes(data[at + 4 : at + 8], "little")
        if kind in (b"VP8L", b"VP8 "):
            return kind == b"VP8L"
        # A frame of an animation is a chunk that holds chunks after sixteen bytes of its own.
        at += 8 + 16 if kind == b"ANMF" else 8 + length + length % 2
    return False


def png_grey_depth(data: bytes) -> int:
    """Bits a pixel of a grey PNG without alpha, or 0 for any other picture (PNG, 11.2.1: IHDR comes first)."""
    return data[24] if data[:8] == b"\x89PNG\r\n\x1a\n" and data[12:16] == b"IHDR" and data[25:26] == b"\0" else 0
