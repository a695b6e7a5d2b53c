"""Whatever the file holds, it is read or refused in plain words, quickly and in bounded memory."""

from __future__ import annotations

import io
import struct
import zlib

import numpy as np
import pytest
from PIL import Image

from planner.picture import MAX_BYTES, PictureError, clean_copy, read_picture


def chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png_head(width: int, height: int, depth: int = 8, colour: int = 2) -> bytes:
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0))


def saved(mode: str = "RGB", size=(8, 8), kind: str = "PNG", **options) -> bytes:
    rng = np.random.default_rng(5)
    image = Image.fromarray(rng.integers(0, 256, (*size, 3), dtype=np.uint8)).convert(mode)
    buffer = io.BytesIO()
    image.save(buffer, kind, **options)
    return buffer.getvalue()


REFUSED = {
    "nothing": b"",
    "text": b"a heron at low water",
    "svg": b'<svg xmlns="http://www.w3.org/2000/svg"><rect width="9" height="9"/></svg>',
    "pdf": b"%PDF-1.7\n1 0 obj",
    "html": b"<!doctype html><html><script>alert(1)</script>",
    "zip": b"PK\x03\x04" + b"\0" * 60,
    "bmp under the name of png": saved(kind="BMP"),
    "tiff": saved(kind="TIFF"),
    "ico": saved(kind="ICO"),
    "eps": b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n",
    "png of nought by nought": png_head(0, 0) + chunk(b"IEND", b""),
    "png of a billion pixels": png_head(40_000, 40_000) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b""),
    "png just over the limit": png_head(4001, 4000) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b""),
    "png cut short": saved()[:80],
    "png with a broken sum": saved()[:40] + b"\xff" + saved()[41:],
    "png with no pixels": png_head(9, 9) + chunk(b"IEND", b""),
    "jpeg cut short": saved(kind="JPEG", size=(64, 64))[:300],
    "gif of a head only": b"GIF89a" + struct.pack("<HH", 9, 9) + b"\0\0\0",
    "webp of a head only": b"RIFF\x20\0\0\0WEBPVP8 " + b"\0" * 20,
    "single pixel": saved(size=(1, 1)),
    "too many bytes": b"\x89PNG\r\n\x1a\n" + b"\0" * MAX_BYTES,
    "201 cells": saved(size=(3, 201)),
}


@pytest.mark.parametrize("name", REFUSED)
def test_it_is_refused_in_words_that_tell_what_to_bring(name):
    with pytest.raises(PictureError) as refusal:
        read_picture(REFUSED[name])
    assert refusal.value.mend and "Traceback" not in str(refusal.value)


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "L", "LA", "P", "1", "I;16", "CMYK"])
def test_every_usual_mode_of_pixels_is_read(mode):
    kind = "JPEG" if mode == "CMYK" else "PNG"
    if mode == "I;16":
        buffer = io.BytesIO()
        Image.fromarray((np.arange(64, dtype=np.uint16) * 1000).reshape(8, 8)).save(buffer, "PNG")
        data = buffer.getvalue()
    else:
        data = saved(mode, kind=kind)
    assert (read_picture(data).grid.rows, read_picture(data).grid.columns) == (8, 8)


def test_sixteen_grey_bits_keep_their_upper_eight():
    buffer = io.BytesIO()
    Image.fromarray(np.array([[0, 65535], [32896, 257]], dtype=np.uint16)).save(buffer, "PNG")
    assert read_picture(buffer.getvalue()).grid.rgb[..., 0].tolist() == [[0, 255], [128, 1]]


def test_a_tail_of_html_behind_a_picture_does_not_reach_the_clean_copy():
    data = saved() + b"<script>alert(1)</script>"
    assert b"script" not in clean_copy(data)


def test_the_clean_copy_drops_what_a_camera_noted():
    exif = Image.Exif()
    exif[0x010E] = "where I live"
    data = saved(kind="JPEG", exif=exif)
    assert b"where I live" in data
    copy = clean_copy(data)
    assert b"where I live" not in copy
    assert Image.open(io.BytesIO(copy)).format == "PNG"


def test_thousands_of_damaged_files_never_raise_anything_else():
    rng = np.random.default_rng(13)
    sources = [saved(), saved(kind="JPEG"), saved("P", kind="GIF"), saved(kind="WEBP"), saved("RGBA")]
    for i in range(1500):
        data = bytearray(sources[i % len(sources)])
        for place in rng.integers(0, len(data), rng.integers(1, 8)):
            data[place] = rng.integers(0, 256)
        if i % 3 == 0:
            data = data[: rng.integers(0, len(data))]
        try:
            read_picture(bytes(data))
        except PictureError:
            continue
