"""What the worker brings home of a picture: sure or not, other readings, a smaller copy, or no grid at all."""

from __future__ import annotations

import io

import numpy as np
import pytest
from django.urls import reverse
from PIL import Image, ImageDraw

from shopapp.common.images import image_bytes
from shopapp.common.tasks import run_waiting_tasks
from shopapp.designs.models import Design, KeptGrid
from shopapp.designs.pictures.actions import bring_picture
from shopapp.designs.pictures.readers import reading_state
from tests.support.grids import BOAT, cells, keep, live, page_of
from tests.support.shop import picture, upload


def png(image: Image.Image) -> bytes:
    buffer = io.BytesIO()
    image.save(buffer, "PNG")
    return buffer.getvalue()


def brought(owner, data: bytes, name: str = "Boat") -> Design:
    design = bring_picture(who=owner, name=name, upload=upload(data))
    run_waiting_tasks()
    design.refresh_from_db()
    return design


def on_paper(scale: int) -> Image.Image:
    """The boat on white paper, ``scale`` pixels a square."""
    boat = Image.open(io.BytesIO(picture(BOAT, 1)))
    paper = Image.new("RGBA", boat.size, "white")
    paper.alpha_composite(boat)
    return paper.convert("RGB").resize((boat.width * scale, boat.height * scale), Image.Resampling.NEAREST)


def face() -> Image.Image:
    """A face drawn smoothly, with the grain of a photo: nothing in it lies on squares."""
    rng = np.random.default_rng(7)
    image = Image.new("RGB", (900, 1200), (120, 140, 150))
    draw = ImageDraw.Draw(image)
    for i in range(300):
        draw.line((0, i * 4, 900, i * 4 + 90), fill=(110 + i // 6, 130 + i // 9, 150 - i // 8), width=5)
    draw.ellipse((250, 260, 690, 910), fill=(214, 176, 150))
    draw.ellipse((340, 480, 430, 530), fill=(60, 50, 50))
    draw.ellipse((520, 480, 610, 530), fill=(60, 50, 50))
    draw.arc((380, 600, 570, 780), 20, 160, fill=(130, 50, 50), width=18)
    grain = rng.normal(0, 9, (1200, 900, 3))
    return Image.fromarray((np.asarray(image) + grain).clip(0, 255).astype(np.uint8))


def test_a_sure_reading_says_where_its_squares_lie(owner):
    design = brought(owner, picture(BOAT))
    assert design.reading["sure"] and design.reading["pitch"] == 4
    assert design.reading["lattice"] == {"corners": [[0, 0], [28, 0], [28, 32], [0, 32]], "rows": 8, "columns": 7}
    assert design.reading["grid_image"] == design.grid_id and not design.no_grid


@pytest.fixture
def blurred(owner):
    """Enlarged by no whole number and softened: read, with other readings beside it."""
    boat = on_paper(1).resize((7 * 13 + 4, 8 * 13 + 4), Image.Resampling.BICUBIC)
    return brought(owner, png(boat))


def test_another_reading_is_taken_with_one_press_and_read_from_the_picture(owner_client, blurred):
    others = blurred.reading["others"]
    assert others and all({"rows", "columns", "kind", "lattice"} <= set(one) for one in others)
    words = page_of(owner_client, blurred).content.decode()
    assert f"{others[0]['rows']} rows of {others[0]['columns']}" in words and 'value="o1"' in words
    now = live(owner_client, blurred, "", "o1")
    assert (now["rows"], now["columns"]) == (others[0]["rows"], others[0]["columns"])
    assert cells(owner_client, blurred, "o1").shape[:2] == (others[0]["rows"], others[0]["columns"])
    keep(owner_client, blurred, "o1")
    kept = KeptGrid.objects.get()
    assert kept.made == "other" and kept.changes[0].startswith("another reading taken")


def chart(turned: float) -> bytes:
    """The boat as a printed chart: ruled lines on warm paper, a margin, laid a little askew under the camera."""
    paper, cell, (left, top) = (250, 246, 236), 24, (50, 40)
    boat = on_paper(1)
    page = Image.new("RGB", (2 * left + 7 * cell + 1, 2 * top + 8 * cell + 1), paper)
    draw = ImageDraw.Draw(page)
    for row in range(8):
        for column in range(7):
            x, y = left + column * cell, top + row * cell
            draw.rectangle((x, y, x + cell, y + cell), fill=boat.getpixel((column, row)), outline=(70, 70, 70))
    return png(page.rotate(turned, Image.Resampling.BICUBIC, expand=True, fillcolor=paper))


def test_a_chart_laid_askew_is_overlaid_askew_and_its_squares_come_out(owner_client, owner):
    design = brought(owner, chart(turned=-2), "Chart")
    assert design.is_read and design.reading["lines"]
    now = live(owner_client, design)
    assert (now["rows"], now["columns"]) == (8, 7)
    assert design.reading["turn"] == pytest.approx(2, abs=0.4)
    (left, above), (right, below) = now["corners"][:2]
    # Turned clockwise: the right end of the top line lies lower than the left one, by two degrees of its length.
    assert (below - above) / (right - left) == pytest.approx(0.035, abs=0.01)
    drawn = cells(owner_client, design)
    inked = np.array([[letter != "." for letter in row] for row in BOAT.split()])
    assert (drawn[..., :3].sum(axis=2)[inked] < 620).all() and now["filled"][5] == "1111111"
    assert "turned by" in page_of(owner_client, design).content.decode()


def test_an_unsure_reading_says_so_and_offers_reduction_where_the_design_is_shown(owner_client, blurred):
    Design.objects.filter(pk=blurred.pk).update(reading={**blurred.reading, "sure": False})
    words = page_of(owner_client, blurred).content.decode()
    assert "Not sure." in words and "Compare the lines with the picture" in words and "It may also be" in words
    hub = owner_client.get(blurred.get_absolute_url()).content.decode()
    assert "Not sure:" in hub and reverse("designs:reduce", args=[blurred.pk]) in hub


def test_a_chart_s_lines_and_turn_are_said_in_words(owner_client, blurred):
    seen = {**blurred.reading, "kind": "chart", "lines": "thin dark lines", "turn": -1.34}
    Design.objects.filter(pk=blurred.pk).update(reading=seen)
    words = page_of(owner_client, blurred).content.decode()
    assert "a chart with ruled lines; thin dark lines; turned by 1.3° against the clock" in words


@pytest.fixture
def too_fine(owner):
    """202 squares in a row, which no reading can make fewer of."""
    return brought(owner, picture("ky" * 101, 1), "Fine")


def test_what_has_more_than_200_squares_a_side_is_kept_and_can_be_reduced(owner_client, too_fine):
    assert too_fine.no_grid and not too_fine.is_read and "the largest side is 200" in too_fine.trouble
    assert (too_fine.original.width, too_fine.reading["width_px"]) == (202, 202)
    assert reading_state(too_fine).word == "no grid"
    hub = owner_client.get(too_fine.get_absolute_url())
    assert hub.context["following"].url == reverse("designs:reduce", args=[too_fine.pk])
    assert "202 cells wide" in hub.content.decode() and "Bring another picture" in hub.content.decode()


def test_a_picture_whose_reader_found_only_background_is_not_lost(owner, monkeypatch):
    from planner.errors import PlannerError
    from shopapp.designs.pictures import planning

    def nothing_but_background(data):
        raise planning.PictureError("There is nothing in the picture but background.")

    monkeypatch.setattr(planning, "read_picture", nothing_but_background)
    design = brought(owner, picture(BOAT))
    assert design.no_grid and design.original and "nothing in the picture but background" in design.trouble
    # Of one colour all over there is nothing to keep.
    with pytest.raises(PlannerError):
        planning.read(picture("kk\nkk", 1))


def test_the_page_that_waits_goes_on_when_no_grid_was_found(owner_client, too_fine):
    answer = owner_client.get(reverse("designs:reading", args=[too_fine.pk]))
    assert answer.headers["HX-Refresh"] == "true" and "hx-get" not in answer.content.decode()


def test_the_photo_of_a_face_is_never_said_to_be_sure(owner_client, owner):
    design = brought(owner, png(face()), "A face")
    assert not design.reading.get("sure") or design.no_grid
    hub = owner_client.get(design.get_absolute_url()).content.decode()
    assert reverse("designs:reduce", args=[design.pk]) in hub


def test_a_large_picture_has_a_smaller_copy_for_pages_and_keeps_its_squares(owner_client, owner):
    design = brought(owner, png(on_paper(260)))
    assert (design.original.width, design.original.height) == (1820, 2080)
    assert max(design.shown.width, design.shown.height) == 1600
    words = page_of(owner_client, design).content.decode()
    assert reverse("common:image", args=[design.shown_id]) in words
    # The lines are counted in the picture's own pixels, whatever copy is shown.
    assert 'viewBox="0 0 1820 2080"' in words and "8 rows of 7, 260 px a square" in words


def test_a_grid_read_before_places_were_written_down_still_lies_over_its_picture(owner_client, owner):
    design = brought(owner, picture(BOAT))
    old = {name: design.reading[name] for name in ("kind", "scale", "width_px", "height_px", "rows", "columns", "seen")}
    Design.objects.filter(pk=design.pk).update(reading=old)
    design.refresh_from_db()
    assert live(owner_client, design)["corners"] == [[0, 0], [28, 0], [28, 32], [0, 32]]
    assert "4 pixels a square" in owner_client.get(design.get_absolute_url()).content.decode()
    keep(owner_client, design, "dt")
    assert KeptGrid.objects.get().changes == ["one row fewer at the top"]
    # What was read first is still offered, though its row does not name its stored grid.
    assert live(owner_client, design, "o0")["size"].startswith("8 rows of 7")


def test_the_stored_copy_of_the_picture_is_the_one_corrections_are_read_from(owner_client, owner):
    design = brought(owner, picture(BOAT))
    assert Image.open(io.BytesIO(image_bytes(design.original))).size == (28, 32)
    # Half a square to the right the middles of the squares are the edges of the old ones: other squares come out.
    assert (cells(owner_client, design, "n8.0") != cells(owner_client, design)).any()


def test_of_a_sure_reading_others_are_offered_and_said_in_what_they_differ(owner_client, owner):
    design = brought(owner, picture(BOAT))
    assert design.reading["sure"]
    others = design.reading["others"]
    # The boat's first row and last are mere background, and so is no column but parts of them.
    assert [one["differs"] for one in others][:1] == ["without the background around it"]
    assert (others[0]["rows"], others[0]["columns"]) == (6, 7) and 2 <= len(others) <= 3
    words = page_of(owner_client, design).content.decode()
    assert "Other readings" in words and "6 rows of 7, 4 px a square, without the background around it" in words
    assert (cells(owner_client, design, "o1") == cells(owner_client, design)[1:-1]).all()


def test_a_row_more_or_less_of_a_grainy_chart_keeps_the_colours_it_was_read_in(owner_client, owner):
    page = Image.open(io.BytesIO(chart(turned=0))).convert("RGB")
    grain = np.random.default_rng(3).normal(0, 9, (page.height, page.width, 1))
    noisy = Image.fromarray((np.asarray(page) + grain).clip(0, 255).astype(np.uint8))
    design = brought(owner, png(noisy), "Grainy")
    whole = cells(owner_client, design)
    assert whole.shape[:2] == (8, 7)
    less = cells(owner_client, design, "dt_dl")
    assert (less == whole[1:, 1:]).all()
    more = cells(owner_client, design, "ab_ar_x1.3")
    assert more.shape[:2] == (9, 8)
    # What was tapped goes with its square, and nothing else of what was read has changed.
    assert more[1, 3, 3] == 0 < whole[1, 3, 3]
    untouched = np.ones((8, 7), dtype=bool)
    untouched[1:5, 1:5] = False
    assert (more[:8, :7][untouched] == whole[untouched]).all()
    # Moved by a pixel it lies elsewhere, and is read there.
    assert (cells(owner_client, design, "n4.0_dt")[..., :3] != whole[1:, :, :3]).any()
