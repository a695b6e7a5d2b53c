"""A step of a stroke paints the pieces it touched and nothing else, however large the drawing."""

from __future__ import annotations

import pytest

from planner.pattern import Pattern
from shopapp.designs.actions import add_drawing
from shopapp.designs.models import Design
from tests.support.bench import at_the_bench, choose, draw, middle_of
from tests.support.shop import add_woods

SIDE = 128


@pytest.fixture
def bench(open_page, owner, transactional_db):
    """Pieces of four tiles each, row after row."""
    woods = ["sycamore", "walnut-black", "birch-yellow", "padauk"]
    add_woods(*woods)
    design = Design.objects.create(name="Large", source="pattern", rights="own")
    rows = [[woods[(c // 4 + r) % 4] for c in range(SIDE)] for r in range(SIDE)]
    add_drawing(who=owner, design=design, pattern=Pattern.of(rows), made="brought")
    page = open_page("/designs/")
    # The shop's answers, which may change how much room there is, do not come.
    page.route("**/bench/*/", lambda route: None)
    page.goto(f"/designs/{design.pk}/bench/")
    return at_the_bench(page)


def painted(bench) -> dict:
    bench.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    return bench.evaluate("() => ({...document.getElementById('bench-sheet').bench.painted})")


def test_a_tile_laid_paints_its_piece_and_its_neighbours_only(bench):
    choose(bench, "Padauk")
    before = painted(bench)
    draw(bench, (61, 2))
    after = painted(bench)
    assert after["whole"] == before["whole"]
    assert 0 < after["cells"] - before["cells"] <= 3 * 4


def test_a_long_stroke_paints_no_more_than_its_pieces_a_step_and_never_the_whole(bench):
    choose(bench, "Padauk")
    steps = 12
    bench.mouse.move(*middle_of(bench, 30, 10))
    bench.mouse.down()
    before = painted(bench)
    for step in range(1, steps + 1):
        bench.mouse.move(*middle_of(bench, 30 + 3 * step, 10 + 3 * step))
        painted(bench)
    bench.mouse.up()
    after = painted(bench)
    assert after["whole"] == before["whole"]
    # Three rows a step, in each the touched piece and one at either side.
    assert after["cells"] - before["cells"] <= steps * 3 * 12


def test_the_cursor_moves_without_the_wood_being_painted(bench):
    bench.locator("#bench-sheet").focus()
    before = painted(bench)
    for _ in range(5):
        bench.keyboard.press("ArrowDown")
    after = painted(bench)
    assert after == before
