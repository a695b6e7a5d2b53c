"""Photos made small for visitors: JPEGs written afresh from the stored picture, and nothing in them but that."""

from __future__ import annotations

import io

from django.db import IntegrityError, transaction
from PIL import Image

from shopapp.common.documents import store_document
from shopapp.common.images import image_bytes
from shopapp.common.models import StoredImage
from shopapp.common.tasks import background, enqueue
from shopapp.listings.models import PhotoSize, PiecePhoto

# In a list on a phone; on a page of its own on a phone, and on a laptop.
WIDTHS = (480, 960, 1600)
JPEG = "image/jpeg"
# As a page over a slow line bears it; the eye hardly sees the difference.
_HOW = {"quality": 78, "progressive": True, "optimize": True}


def widths_of(image: StoredImage) -> list[int]:
    """The widths a picture is made in: none is made larger than it is."""
    return sorted({min(width, image.width) for width in WIDTHS})


def ask_for_sizes(photos: list[PiecePhoto]) -> None:
    """Have the worker make what is missing of each, inside the transaction of whoever shows them."""
    for photo in PiecePhoto.objects.filter(pk__in=[one.pk for one in photos], sizes=None, image__isnull=False):
        enqueue(make_sizes, photo.pk)


@background(name="make the sizes of a photo")
def make_sizes(photo_id: int) -> None:
    """The worker's part. What is made already stays."""
    photo = PiecePhoto.objects.select_related("image").get(pk=photo_id)
    if photo.image is None or photo.taken_away:
        return
    there = set(photo.sizes.values_list("width", flat=True))
    missing = [width for width in widths_of(photo.image) if width not in there]
    if not missing:
        return
    with Image.open(io.BytesIO(image_bytes(photo.image)), formats=("PNG",)) as opened:
        picture = _on_white(opened)
    for width in missing:
        height = max(1, round(picture.height * width / picture.width))
        buffer = io.BytesIO()
        picture.resize((width, height), Image.Resampling.LANCZOS, reducing_gap=3).save(buffer, "JPEG", **_HOW)
        title = f"Photo {photo.pk} of piece {photo.piece_id}, {width} wide"
        document = store_document(buffer.getvalue(), title=title, suffix=".jpg", media_type=JPEG)
        try:
            with transaction.atomic():
                PhotoSize.objects.create(photo=photo, width=width, height=height, document=document)
        except IntegrityError:
            # Made twice at once, after a worker was given up too soon: the first one's stands.
            continue


def _on_white(picture: Image.Image) -> Image.Image:
    if picture.mode == "RGB":
        return picture.copy()
    picture = picture.convert("RGBA")
    ground = Image.new("RGB", picture.size, (255, 255, 255))
    ground.paste(picture, mask=picture.getchannel("A"))
    return ground
