"""Picture files from anywhere, decoded within limits. What a file says of itself is checked before its pixels
are touched, and only four formats are let near a decoder."""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass

from PIL import Image, ImageOps

from planner.errors import PlannerError

MAX_BYTES = 12 * 1024 * 1024
MAX_PIXELS = 16_000_000
FORMATS = ("PNG", "JPEG", "GIF", "WEBP")
_WANTED = "Bring a PNG, GIF, WebP or JPEG picture."


class PictureError(PlannerError):
    """The file is no picture that can be read here."""


@dataclass(frozen=True, slots=True)
class Decoded:
    """An RGBA picture, upright, and what was noticed on the way."""

    image: Image.Image
    format: str
    lossless: bool
    seen: tuple[str, ...]


def decode(data: bytes) -> Decoded:
    """The first frame of a picture file, turned upright. Raises PictureError in plain words for anything else."""
    if not data:
        raise PictureError("The file is empty.", mend=_WANTED)
    if len(data) > MAX_BYTES:
        raise PictureError(
            f"The file is {len(data) / 1024 / 1024:.1f} MB.", mend=f"The most is {MAX_BYTES // 1024 // 1024} MB."
        )
    with warnings.catch_warnings():
        # A picture that Pillow merely warns of is refused here.
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            return _open(data)
        except PictureError:
            raise
        except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
            raise _too_large() from error
        except MemoryError as error:
            raise PictureError("The picture does not fit into memory.", mend="Bring a smaller one.") from error
        except Exception as error:
            # Decoders meet hostile files with every kind of exception; none of them may pass as anything else.
            raise PictureError("The file is damaged or no picture, and cannot be read.", mend=_WANTED) from error


def clean_copy(data: bytes) -> bytes:
    """The picture as a fresh PNG: first frame, upright, no metadata, nothing of the file as it came."""
    buffer = io.BytesIO()
    image = decode(data).image
    fresh = Image.new(image.mode, image.size)
    fresh.paste(image)
    fresh.save(buffer, "PNG")
    return buffer.getvalue()


def _open(data: bytes) -> Decoded:
    with Image.open(io.BytesIO(data), formats=FORMATS) as image:
        if image.width * image.height > MAX_PIXELS:
            raise _too_large()
        kind = image.format or ""
        frames = int(getattr(image, "n_frames", 1))
        seen = [f"an animation of {frames} frames, read at its first"] if frames > 1 else []
        image.load()
        turned = ImageOps.exif_transpose(image)
        if turned.size != image.size or image.getexif().get(0x0112, 1) not in (0, 1):
            seen.append("turned upright as its camera noted")
        lossless = kind in ("PNG", "GIF") or (kind == "WEBP" and b"VP8L" in data[:4096])
        return Decoded(_rgba(turned), kind, lossless, tuple(seen))


def _rgba(image: Image.Image) -> Image.Image:
    """Eight bits a channel, with alpha, whatever the file held."""
    if image.mode in ("I;16", "I;16B", "I;16L", "I"):
        # Sixteen grey bits: keep the upper eight.
        image = image.convert("I").point(lambda value: value / 257).convert("L")
    return image.convert("RGBA")


def _too_large() -> PictureError:
    return PictureError(
        f"The picture has more than {MAX_PIXELS // 1_000_000} million pixels.", mend="Bring a smaller copy of it."
    )
