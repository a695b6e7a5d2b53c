"""What a paper is made of: the shop's own fonts, the pictures it was given, and nothing from anywhere else."""

from __future__ import annotations

import gc
import io
import shutil
import subprocess

import pikepdf
import pytest
from PIL import Image

import shopapp.common.paper as paper

PAGE = '<html lang="en"><title>A board</title><body><p>A board</p><img src="picture:board" alt="A board"></body></html>'


def a_jpeg() -> bytes:
    buffer = io.BytesIO()
    Image.new("RGB", (12, 8), "#7a4a22").save(buffer, "JPEG")
    return buffer.getvalue()


def test_a_paper_fetches_nothing_but_its_fonts_and_the_pictures_it_was_given():
    engine = paper._engine()
    fetcher = paper._own_files_only(engine, {"picture:board": b"jpeg"})
    assert fetcher.fetch("picture:board").read() == b"jpeg"
    for url in ("file:///etc/passwd", "http://127.0.0.1/", "data:text/plain,x", "picture:other"):
        with pytest.raises(ValueError, match="not fetched"):
            fetcher.fetch(url)


def test_a_picture_that_was_given_is_on_the_paper_as_it_is():
    with pikepdf.open(io.BytesIO(paper.pdf_of(PAGE, {"picture:board": a_jpeg()}))) as made:
        pictures = list(made.pages[0].get_images().values())
        assert [(image.Width, image.Height, str(image.Filter)) for image in pictures] == [(12, 8, "/DCTDecode")]


def test_letters_a_paper_does_not_use_are_not_carried_in_it_and_those_it_uses_are_read_as_they_were_written():
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is missing")
    faces = "".join(
        f"@font-face {{ font-family: '{one['family']}'; font-weight: {one['weight']}; src: url('{one['url']}'); }}"
        for one in paper.font_faces()
    )
    words = "An office flag, 17 × 12 mm: 3/4 in, € 12.50"
    body = f"<p>{words}</p><p style='font-family: Source Serif Pro; font-weight: 600'>Ångström’s fjord</p>"
    page = f"<html lang='en'><title>Flag</title><style>{faces} p {{ font-family: Source Sans Pro; }}</style>{body}"
    made = paper.pdf_of(page)
    told = subprocess.run(["pdftotext", "-", "-"], input=made, capture_output=True, check=True).stdout.decode()
    assert [line for line in told.splitlines() if line.strip(" \f")] == [words, "Ångström’s fjord"]
    # The two fonts are two hundred thousand bytes each.
    assert len(made) < 40_000


def test_what_collects_is_as_it_was_after_a_paper_also_after_one_that_failed():
    for page in (PAGE.replace("A board", "Another board"), None):
        gc.enable()
        if page is None:
            with pytest.raises(TypeError):
                paper.pdf_of(page)
        else:
            paper.pdf_of(page, {"picture:board": a_jpeg()})
        assert gc.isenabled()
