"""Small palette PNGs with words in them, written and read byte by byte (PNG, W3C Recommendation, third edition).

A pattern goes out as one and comes back as one. Any picture may be handed in for it, and pictures from outside are
decoded apart, by the worker; here none is decoded: only the one kind of file that we write ourselves is read, at most
``largest`` cells a side, so that neither its pixels nor its words can unpack to more than is expected of them.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

SIGNATURE = b"\x89PNG\r\n\x1a\n"
PALETTE_COLOUR = 3
# The words of a file unpack to no more than this.
MOST_WORDS = 64 * 1024

Rgb = tuple[int, int, int]


class PalettePngError(ValueError):
    """Not a palette PNG such as we write. Its words are for us; whoever reads a pattern has words for the maker."""


@dataclass(frozen=True, slots=True)
class PalettePicture:
    """``cells`` rows × columns of numbers into the palette; ``words`` by their keyword."""

    cells: NDArray[np.uint8]
    words: Mapping[str, str]


def write_palette_png(cells: NDArray[np.uint8], colours: Sequence[Rgb], words: Mapping[str, str]) -> bytes:
    """A palette PNG of ``cells``, number k in ``colours[k]``, number 0 clear.

    >>> data = write_palette_png(np.array([[0, 1]], dtype=np.uint8), [(255, 255, 255), (90, 60, 40)], {"Note": "two"})
    >>> read = read_palette_png(data, 200)
    >>> read.cells.tolist(), read.words
    ([[0, 1]], {'Note': 'two'})
    """
    height, width = cells.shape
    lines = np.zeros((height, width + 1), dtype=np.uint8)
    lines[:, 1:] = cells
    texts = [
        _chunk(b"iTXt", key.encode("latin-1") + b"\0\0\0\0\0" + text.encode("utf-8")) for key, text in words.items()
    ]
    return b"".join(
        [
            SIGNATURE,
            _chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, PALETTE_COLOUR, 0, 0, 0)),
            _chunk(b"PLTE", bytes(value for colour in colours for value in colour)),
            _chunk(b"tRNS", b"\0"),
            *texts,
            _chunk(b"IDAT", zlib.compress(lines.tobytes(), 9)),
            _chunk(b"IEND", b""),
        ]
    )


def size_of_png(data: bytes) -> tuple[int, int]:
    """Height and width as a PNG's head says. Raises PalettePngError where there is no head."""
    if data[:8] != SIGNATURE or data[12:16] != b"IHDR" or len(data) < 33:
        raise PalettePngError("no PNG")
    width, height = struct.unpack(">II", data[16:24])
    return height, width


def read_palette_png(data: bytes, largest: int) -> PalettePicture:
    """A palette PNG back: 1, 2, 4 or 8 bits a cell, any filter, not interlaced, whole. Raises PalettePngError for
    everything else."""
    height, width = size_of_png(data)
    if not (1 <= height <= largest and 1 <= width <= largest):
        raise PalettePngError("too large")
    depth = 0
    packed: list[bytes] = []
    words: dict[str, str] = {}
    for kind, body in _chunks(data):
        if kind == b"IHDR":
            depth, colour, method, filtering, interlaced = body[8:13]
            if colour != PALETTE_COLOUR or depth not in (1, 2, 4, 8) or method or filtering or interlaced:
                raise PalettePngError("another kind of PNG")
        elif kind == b"IDAT":
            packed.append(body)
        elif kind in (b"iTXt", b"tEXt"):
            words.update(_words(kind, body))
    line = (width * depth + 7) // 8
    raw = _unpacked(b"".join(packed), height * (line + 1))
    return PalettePicture(_cells(_unfiltered(raw, height, line), width, depth), words)


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    place = len(SIGNATURE)
    while place + 12 <= len(data):
        (length,) = struct.unpack(">I", data[place : place + 4])
        kind, body = data[place + 4 : place + 8], data[place + 8 : place + 8 + length]
        check = data[place + 8 + length : place + 12 + length]
        if len(check) < 4 or zlib.crc32(kind + body) != struct.unpack(">I", check)[0]:
            break
        yield kind, body
        if kind == b"IEND":
            return
        place += 12 + length
    raise PalettePngError("damaged or cut off")


def _words(kind: bytes, body: bytes) -> dict[str, str]:
    key, _, rest = body.partition(b"\0")
    if kind == b"iTXt":
        packed, rest = rest[:1] == b"\1", rest[2:]
        _, _, rest = rest.partition(b"\0")
        _, _, rest = rest.partition(b"\0")
        if packed:
            rest = _unpacked(rest, MOST_WORDS, exactly=False)
    try:
        return {key.decode("latin-1"): rest[:MOST_WORDS].decode("utf-8" if kind == b"iTXt" else "latin-1")}
    except UnicodeDecodeError as error:
        raise PalettePngError("words in no known letters") from error


def _unpacked(packed: bytes, most: int, *, exactly: bool = True) -> bytes:
    unpacking = zlib.decompressobj()
    try:
        raw = unpacking.decompress(packed, most + 1)
    except zlib.error as error:
        raise PalettePngError("damaged") from error
    if not unpacking.eof or (len(raw) != most if exactly else len(raw) > most):
        raise PalettePngError("more or less than its head says")
    return raw


def _unfiltered(raw: bytes, height: int, line: int) -> NDArray[np.uint8]:
    """Undo each line's filter (PNG, 9.2), which looks at the byte before and at the line above."""
    above = bytearray(line)
    lines = []
    for number in range(height):
        kind = raw[number * (line + 1)]
        here = bytearray(raw[number * (line + 1) + 1 : (number + 1) * (line + 1)])
        if kind > 4:
            raise PalettePngError("an unknown filter")
        for i in range(line) if kind else ():
            left, corner = (here[i - 1], above[i - 1]) if i else (0, 0)
            guess = (left, above[i], (left + above[i]) // 2, _paeth(left, above[i], corner))[kind - 1]
            here[i] = (here[i] + guess) & 255
        lines.append(bytes(here))
        above = here
    return np.frombuffer(b"".join(lines), dtype=np.uint8).reshape(height, line)


def _paeth(left: int, above: int, corner: int) -> int:
    """Of the three the one nearest to left + above - corner, in this order where they tie (PNG, 9.4)."""
    guess = left + above - corner
    return min((left, above, corner), key=lambda value: abs(guess - value))


def _cells(lines: NDArray[np.uint8], width: int, depth: int) -> NDArray[np.uint8]:
    if depth == 8:
        return lines
    bits = np.unpackbits(lines, axis=1).reshape(lines.shape[0], -1, depth)
    weights = (1 << np.arange(depth - 1, -1, -1)).astype(np.uint8)
    cells: NDArray[np.uint8] = (bits * weights).sum(axis=2, dtype=np.uint8)[:, :width]
    return cells
