"""Picture files put together byte by byte, for what an encoder would not write."""

from __future__ import annotations

import io
import struct
import zlib

import numpy as np
from PIL import Image

# The seven passes of an interlaced PNG: first column and row, steps across and down (PNG, 8.2).
ADAM7 = ((0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2))


def chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png_head(width: int, height: int, depth: int = 8, colour: int = 2, interlaced: int = 0) -> bytes:
    head = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, interlaced)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head)


def png(head: bytes, lines: list[bytes], extra: bytes = b"") -> bytes:
    """A PNG of unfiltered ``lines``, with ``extra`` chunks before them."""
    packed = zlib.compress(b"".join(b"\0" + line for line in lines))
    return head + extra + chunk(b"IDAT", packed) + chunk(b"IEND", b"")


def interlaced_png(rgb: np.ndarray) -> bytes:
    height, width = rgb.shape[:2]
    passes = [rgb[y::down, x::across] for x, y, across, down in ADAM7]
    lines = [line.tobytes() for part in passes if part.size for line in part]
    return png(png_head(width, height, interlaced=1), lines)


def saved(image: Image.Image, kind: str = "PNG", **options: object) -> bytes:
    buffer = io.BytesIO()
    image.save(buffer, kind, **options)
    return buffer.getvalue()


def speckled(height: int = 8, width: int = 8, seed: int = 5) -> np.ndarray:
    """Every pixel of a colour of its own."""
    return np.random.default_rng(seed).integers(0, 256, (height, width, 3), dtype=np.uint8)
