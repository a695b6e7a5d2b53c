"""Picture files from anywhere, decoded within limits. What a file says of itself is checked before its pixels
are touched, and only four formats are let near a decoder."""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageOps

from planner.decoding import whole_files_only
from planner.errors import PlannerError
from planner.picture.container import jpeg_scans, other_kind, png_grey_depth, webp_is_lossless

MAX_BYTES = 12 * 1024 * 1024
MAX_PIXELS = 16_000_000
# What ``clean_copy`` writes is at the most its pixels laid bare and a little about them.
MAX_CLEAN_BYTES = 4 * MAX_PIXELS + 1024 * 1024
# Common practice, no source: a camera or an image program writes about ten.
MAX_SCANS = 100
FORMATS = ("PNG", "JPEG", "GIF", "WEBP")
_WANTED = "Bring a PNG, GIF, WebP or JPEG picture."
_WANTED_LOW = _WANTED[0].lower() + _WANTED[1:]


class PictureError(PlannerError):
    """The file is no picture that can be read here."""


@dataclass(frozen=True, slots=True)
class Decoded:
    """An RGBA picture, upright, and what was noticed on the way. The file kept one share of colour for so many pixels
    down and across as ``shares`` says, one or two each; a JPEG in colour kept its blocks in the steps of its
    ``tables``."""

    image: Image.Image
    format: str
    lossless: bool
    seen: tuple[str, ...]
    shares: tuple[int, int] = (1, 1)
    tables: tuple[tuple[int, ...], ...] = ()


def decode(data: bytes, most: int = MAX_BYTES) -> Decoded:
    """The first frame of a picture file of ``most`` bytes or fewer, turned upright. Raises PictureError in plain words
    for anything else."""
    if not data:
        raise PictureError("The file is empty.", mend=_WANTED)
    if len(data) > most:
        raise PictureError(
            f"The file is {len(data) / 1024 / 1024:.1f} MB.", mend=f"The most is {most // 1024 // 1024} MB."
        )
    other = other_kind(data)
    if other:
        raise PictureError(f"The file is {other}, whatever its name says.", mend=f"Save it anew: {_WANTED_LOW}")
    with whole_files_only(), warnings.catch_warnings():
        # Camera notes that make no sense are no matter; a picture that Pillow merely warns of is refused here.
        warnings.simplefilter("ignore")
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            return _open(data)
        except PictureError:
            raise
        except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
            raise _too_large() from error
        except MemoryError as error:
            raise too_much_memory() from error
        except Exception as error:
            # Decoders meet hostile files with every kind of exception; none of them may pass as anything else.
            raise PictureError("The file is damaged or no picture, and cannot be read.", mend=_WANTED) from error


def clean_copy(data: bytes) -> bytes:
    """The picture as a fresh PNG: first frame, upright, no metadata, nothing of the file as it came.

    What is fully transparent is made black, for some programs leave there what their user believed cut away.
    Raises PictureError as ``decode`` does.
    """
    try:
        pixels = np.array(decode(data).image)
        pixels[pixels[..., 3] == 0] = 0
        buffer = io.BytesIO()
        # Pressed lightly: sixteen million pixels of a photo in a fifth of the time, a twentieth larger.
        Image.fromarray(pixels).save(buffer, "PNG", compress_level=2)
    except MemoryError as error:
        raise too_much_memory() from error
    return buffer.getvalue()


def _open(data: bytes) -> Decoded:
    with Image.open(io.BytesIO(data), formats=FORMATS) as image:
        if image.width * image.height > MAX_PIXELS:
            raise _too_large()
        kind = image.format or ""
        if kind in ("JPEG", "MPO") and jpeg_scans(data, MAX_SCANS) > MAX_SCANS:
            raise PictureError(f"The picture is sent in more than {MAX_SCANS} passes.", mend="Save it anew as PNG.")
        if kind == "PNG":
            # Decoding does not look at the sums of the pixels' chunks; this does.
            with Image.open(io.BytesIO(data), formats=("PNG",)) as check:
                check.verify()
        image.load()
        seen = _what_is_seen(image)
        upright = _upright(image)
        if upright is not None:
            seen.append("turned upright as its camera noted")
        lossless = kind in ("PNG", "GIF") or (kind == "WEBP" and webp_is_lossless(data))
        # Turned about, a side may begin with the second of two pixels.
        shares = _shares_kept(image) if upright is None and not lossless else (1, 1)
        tables = _tables_of(image) if upright is None else ()
        rgba = _rgba(image if upright is None else upright, png_grey_depth(data))
        return Decoded(rgba, kind, lossless, tuple(seen), shares, tables)


def _shares_kept(image: Image.Image) -> tuple[int, int]:
    """For how many pixels down and across a lossy file keeps one share of colour, one or two."""
    if image.format == "WEBP":
        return 2, 2
    layers = getattr(image, "layer", [])
    if len(layers) != 3 or layers[1][1:3] != (1, 1) or layers[2][1:3] != (1, 1):
        return 1, 1
    _, across, down, *_ = layers[0]
    return (down, across) if max(down, across) <= 2 else (1, 1)


def _tables_of(image: Image.Image) -> tuple[tuple[int, ...], ...]:
    """The steps in which a JPEG in colour kept its blocks, 64 a table; none of any other file."""
    if image.format != "JPEG" or image.mode != "RGB":
        return ()
    return tuple(tuple(table) for _, table in sorted(getattr(image, "quantization", {}).items()))


def _what_is_seen(image: Image.Image) -> list[str]:
    seen = []
    if image.format == "MPO":
        seen.append("several pictures in one file, read at the first")
    elif _is_animated(image):
        seen.append("an animation, read at its first frame")
    if image.mode == "CMYK":
        seen.append("printing inks turned into screen colours, which is never exact")
    profile = image.info.get("icc_profile")
    # A profile names itself in one byte a letter or in two.
    if profile and image.mode != "CMYK" and b"sRGB" not in profile.replace(b"\0", b""):
        seen.append("a colour profile in the file set aside: colours are taken as sRGB")
    return seen


def _is_animated(image: Image.Image) -> bool:
    try:
        return bool(getattr(image, "is_animated", False))
    except Exception:
        # The look at a second frame met damage; the first, already loaded, is all that is wanted.
        return False


def _upright(image: Image.Image) -> Image.Image | None:
    """The picture turned as its camera noted, or None when there is nothing to turn."""
    try:
        if image.getexif().get(0x0112, 1) not in range(2, 9):
            return None
    except Exception:
        # Notes that cannot be read are no reason to refuse the picture.
        return None
    return ImageOps.exif_transpose(image)


def _rgba(image: Image.Image, grey_depth: int) -> Image.Image:
    """Eight bits a channel, with alpha, whatever the file held."""
    clear = image.info.get("transparency")
    if image.mode in ("I;16", "I;16B", "I;16L", "I"):
        # Sixteen grey bits: keep the upper eight, and compare with the transparent grey before they go.
        sixteen = np.asarray(image).astype(np.int32)
        grey = Image.fromarray((sixteen >> 8).clip(0, 255).astype(np.uint8))
        image = grey.convert("RGBA")
        if isinstance(clear, int):
            image.putalpha(Image.fromarray(np.where(sixteen == clear, 0, 255).astype(np.uint8)))
        return image
    if isinstance(clear, int) and grey_depth in (2, 4) and image.mode == "L":
        # Pixels of two or four bits were spread over eight; their transparent grey was not.
        image.info["transparency"] = clear * 255 // (2**grey_depth - 1)
    return image.convert("RGBA")


def too_much_memory() -> PictureError:
    return PictureError("The picture does not fit into memory.", mend="Bring a smaller one.")


def _too_large() -> PictureError:
    return PictureError(
        f"The picture has more than {MAX_PIXELS // 1_000_000} million pixels.", mend="Bring a smaller copy of it."
    )
