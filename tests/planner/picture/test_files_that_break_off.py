"""A picture that breaks off is refused, even where another part of the program lets such pictures pass."""

from __future__ import annotations

import pytest
from PIL import Image, ImageFile

from planner.pattern import Pattern, PatternError
from planner.picture import PictureError, clean_copy, read_picture
from tests.support.picture_files import saved, speckled

WHOLE = {kind: saved(Image.fromarray(speckled(32, 32)), kind) for kind in ("PNG", "JPEG", "GIF", "WEBP")}


@pytest.fixture(autouse=True, params=[False, True], ids=["strict elsewhere", "lenient elsewhere"])
def _elsewhere(request, monkeypatch):
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", request.param)
    yield
    # What others asked for is left as they set it.
    assert ImageFile.LOAD_TRUNCATED_IMAGES is request.param


@pytest.mark.parametrize("share", [0.3, 0.6, 0.9])
@pytest.mark.parametrize("kind", WHOLE)
def test_a_part_of_a_picture_is_refused(kind, share):
    data = WHOLE[kind]
    assert read_picture(data).grid.rows == 32
    for reader in (read_picture, clean_copy):
        with pytest.raises(PictureError):
            reader(data[: int(len(data) * share)])


def test_a_png_with_a_broken_sum_is_refused():
    data = bytearray(WHOLE["PNG"])
    data[len(data) // 2] ^= 1
    with pytest.raises(PictureError):
        read_picture(bytes(data))


def test_a_part_of_a_pattern_file_is_refused():
    data = Pattern.of([["beech", None], ["sapele", "beech"]]).to_png()
    with pytest.raises(PatternError):
        Pattern.from_png(data[:-30])
