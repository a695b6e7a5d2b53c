"""A small file cannot make the reader work or remember without bound, and what it is named does not matter."""

from __future__ import annotations

import io
import struct
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from planner.picture import PictureError, clean_copy, read_picture
from planner.picture.background import joined_to_edge
from planner.picture.container import jpeg_scans, other_kind, webp_is_lossless
from tests.support.picture_files import saved, speckled


def gif(width: int, height: int, frames: bytes) -> bytes:
    return b"GIF89a" + struct.pack("<HHBBB", width, height, 0x80, 0, 0) + b"\0\0\0\xff\xff\xff" + frames + b";"


def gif_frame(width: int, height: int) -> bytes:
    return b"\x2c" + struct.pack("<HHHHB", 0, 0, width, height, 0) + b"\x02\x02\x44\x01\x00"


def extended_webp(width: int, height: int) -> bytes:
    """An animation of one small frame on a canvas of any size."""
    small = saved(Image.fromarray(speckled()), "WEBP", lossless=True)[12:]
    frame = b"\0" * 6 + (7).to_bytes(3, "little") * 2 + (100).to_bytes(3, "little") + b"\0" + small
    body = b"WEBPVP8X" + struct.pack("<I", 10) + b"\x02\0\0\0"
    body += (width - 1).to_bytes(3, "little") + (height - 1).to_bytes(3, "little")
    body += b"ANIM" + struct.pack("<IIH", 6, 0, 0) + b"ANMF" + struct.pack("<I", len(frame)) + frame
    return b"RIFF" + struct.pack("<I", len(body)) + body


def test_a_jpeg_of_countless_passes_is_refused_before_the_first():
    data = saved(Image.new("L", (64, 64), 128), "JPEG", progressive=True)
    assert jpeg_scans(data, 100) == data.count(b"\xff\xda") > 1
    last = data[data.rindex(b"\xff\xda") : -2]
    with pytest.raises(PictureError, match="more than 100 passes"):
        read_picture(data[:-2] + last * 100_000 + b"\xff\xd9")


def test_passes_of_a_small_picture_among_the_camera_notes_are_not_counted():
    thumbnail = saved(Image.fromarray(speckled()), "JPEG", progressive=True)
    exif = Image.Exif()
    exif[0x010E] = thumbnail.decode("latin-1")
    data = saved(Image.fromarray(speckled()), "JPEG", exif=exif)
    assert jpeg_scans(data, 100) == 1


def test_half_a_million_frames_cost_no_more_than_the_first():
    frames = gif_frame(1, 1) * 500_000
    with pytest.raises(PictureError, match="one colour"):
        read_picture(gif(8, 8, frames))


def test_an_animation_damaged_after_its_first_frame_is_read_at_its_first():
    frames = [Image.fromarray(speckled(seed=seed)).quantize(16) for seed in (1, 2)]
    whole = saved(frames[0], "GIF", save_all=True, append_images=frames[1:])
    reading = read_picture(whole)
    assert (read_picture(whole[:-12]).grid.rgb == reading.grid.rgb).all()


@pytest.mark.parametrize(
    "data",
    [
        gif(0, 0, b""),
        gif(8, 8, b""),
        gif(8, 8, gif_frame(60_000, 60_000)),
        gif(65_535, 65_535, gif_frame(1, 1)),
        extended_webp(16_383, 16_383),
        extended_webp(65_536, 65_535),
        saved(Image.new("RGB", (4001, 4000)), "JPEG"),
    ],
    ids=[
        "gif of nought",
        "gif without frames",
        "frame past its screen",
        "vast screen",
        "vast canvas",
        "vaster",
        "jpeg",
    ],
)
def test_sizes_past_the_limit_and_of_nothing_are_refused(data):
    for reader in (read_picture, clean_copy):
        with pytest.raises(PictureError):
            reader(data)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b'\xef\xbb\xbf\n<?xml version="1.0"?>\n<!-- a heron -->\n<svg width="9"></svg>', "SVG"),
        (b"<svg/>", "SVG"),
        (b"\n<!DOCTYPE html><title>heron</title>", "HTML"),
        (b"%PDF-1.7\n", "PDF"),
        (b"%!PS-Adobe-3.0", "PostScript"),
        (saved(Image.fromarray(speckled()), "BMP"), "BMP"),
        (saved(Image.fromarray(speckled()), "TIFF"), "TIFF"),
        (saved(Image.fromarray(speckled()), "ICO"), "icon"),
        (b"\0\0\0\x1cftypavif\0\0\0\0", "AVIF"),
        (b"\0\0\0\x18ftypheic\0\0\0\0", "HEIC"),
        (b"\0\0\0\x18ftypisom\0\0\0\0", "film"),
        (b"8BPS\0\1", "PSD"),
        (b"PK\x03\x04\x14\0", "ZIP"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_file_of_another_kind_is_told_what_it_is(data, words):
    with pytest.raises(PictureError) as refusal:
        read_picture(data)
    assert words in refusal.value.what and "PNG" in refusal.value.mend


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "GIF", "WEBP"])
def test_none_of_the_four_kinds_is_taken_for_another(kind):
    for seed in range(20):
        assert other_kind(saved(Image.fromarray(speckled(seed=seed)), kind)) == ""


def test_a_lossless_webp_is_told_from_a_lossy_one_whatever_its_notes_say():
    image = Image.fromarray(speckled())
    assert webp_is_lossless(saved(image, "WEBP", lossless=True))
    assert webp_is_lossless(extended_webp(16, 16))
    lossy = saved(image, "WEBP", icc_profile=b"VP8L and more")
    assert b"VP8L" in lossy and not webp_is_lossless(lossy)
    assert any("lossy" in words for words in read_picture(lossy).seen)


def test_camera_notes_that_make_no_sense_are_no_reason_to_refuse():
    for notes in (b"Exif\0\0garbage", b"Exif\0\0MM\0*\0\0\0\x08\xff\xff more garbage"):
        assert read_picture(saved(Image.fromarray(speckled()), "JPEG", exif=notes)).grid.rows == 8


def test_a_file_of_several_photographs_is_read_at_the_first():
    first, second = (Image.fromarray(speckled(seed=seed)) for seed in (1, 2))
    reading = read_picture(saved(first, "MPO", save_all=True, append_images=[second]))
    assert any("several pictures" in words for words in reading.seen)
    assert (reading.grid.rgb == np.asarray(Image.open(io.BytesIO(saved(first, "JPEG"))))).mean() > 0.99


def test_inks_are_turned_into_colours_that_look_alike():
    blocks = np.array([[[250, 250, 250], [20, 20, 20]], [[200, 40, 40], [40, 60, 200]]], dtype=np.uint8)
    image = Image.fromarray(blocks.repeat(8, axis=0).repeat(8, axis=1)).convert("CMYK")
    reading = read_picture(saved(image, "JPEG", quality=98))
    # Squares of eight pixels are what a JPEG keeps together, so these come through as flat as they went.
    assert reading.scale == 8
    assert np.abs(reading.grid.rgb.astype(int) - blocks).max() < 12
    assert any("inks" in words for words in reading.seen)


def test_a_background_that_winds_through_the_whole_picture_is_followed_to_its_end():
    lanes = np.zeros((200, 200), dtype=bool)
    lanes[1:-1:2, 1:-1] = True
    lanes[2:-2:4, -2] = lanes[4:-2:4, 1] = True
    assert not joined_to_edge(lanes).any()
    lanes[0, 1] = True
    assert (joined_to_edge(lanes) == lanes).all()


@pytest.mark.skipif(sys.platform != "linux", reason="the mark of a process's memory is read as Linux writes it")
def test_the_largest_picture_is_read_within_half_a_gigabyte():
    script = """
import io, resource
import numpy as np
from PIL import Image
from planner.picture import clean_copy, read_picture
cells = np.random.default_rng(1).integers(0, 256, (160, 160, 4), dtype=np.uint8) | np.uint8([0, 0, 0, 128])
data = io.BytesIO()
Image.fromarray(cells.repeat(25, axis=0).repeat(25, axis=1)).save(data, "PNG")
resource.setrlimit(resource.RLIMIT_AS, (1536 << 20, 1536 << 20))
assert read_picture(data.getvalue()).scale == 25
clean_copy(data.getvalue())
# What the system counts for a process begins with what its parent held; the mark of its own memory begins anew.
print(int(open("/proc/self/status").read().split("VmHWM:")[1].split()[0]) // 1024)
"""
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, cwd=Path(__file__).parents[3], check=True
    )
    assert int(done.stdout) < 512
