"""A finger draws, two move the drawing, and a hand that rests beside a pencil does nothing."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.support.bench import at_the_bench, choose, expect_said, middle_of, rows, wait_for_row, wait_for_tile
from tests.support.shop import add_woods, design_with_pattern

SEND = """([kind, points, type]) => {
    const sheet = document.getElementById('bench-sheet');
    for (const [id, x, y] of points) sheet.dispatchEvent(new PointerEvent(kind, {
        pointerId: id, pointerType: type, clientX: x, clientY: y, isPrimary: id === 1,
        bubbles: true, button: 0, buttons: 1 }));
}"""


@pytest.fixture
def bench(open_page, owner, transactional_db):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    page = open_page(f"/designs/{design_with_pattern(owner).pk}/bench/", "phone")
    return at_the_bench(page)


def touch(bench, *steps):
    """Through the browser's own touch screen: each step is the fingers on the glass, as cells."""
    glass = bench.context.new_cdp_session(bench)
    for i, cells in enumerate(steps):
        points = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(middle_of(bench, *cell) for cell in cells)]
        kind = "touchEnd" if not cells else "touchStart" if i == 0 or len(cells) > len(steps[i - 1]) else "touchMove"
        glass.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})


def tile_of(bench) -> float:
    """How wide a tile is drawn."""
    return middle_of(bench, 1, 2)[0] - middle_of(bench, 1, 1)[0]


def test_a_finger_lays_tiles_and_the_page_stays_where_it_is(bench):
    choose(bench, "Padauk")
    bench.evaluate("scrollTo(0, 0)")
    touch(bench, [(1, 1)], [(1, 3)], [(1, 6)], [])
    wait_for_row(bench, 1, "6 padauk")
    assert bench.evaluate("scrollY") == 0


def test_two_fingers_bring_the_drawing_closer_and_lay_nothing(bench):
    before = rows(bench)
    was = tile_of(bench)
    touch(bench, [(3, 3)], [(3, 3), (4, 4)], [(1, 1), (6, 6)], [])
    wait_for_tile(bench, f"> {was * 1.5}")
    assert rows(bench) == before
    bench.get_by_role("button", name="Whole").click()
    wait_for_tile(bench, f"=== {was}")


def test_once_a_pencil_was_seen_a_resting_hand_lays_nothing(bench):
    choose(bench, "Padauk")
    pencil, palm = [1, *middle_of(bench, 1, 1)], [2, *middle_of(bench, 6, 6)]
    bench.evaluate("document.getElementById('bench-sheet').setPointerCapture = () => {}")
    bench.evaluate(SEND, ["pointerdown", [pencil], "pen"])
    bench.evaluate(SEND, ["pointerup", [pencil], "pen"])
    expect_said(bench, "1 tile of Padauk laid")
    bench.evaluate(SEND, ["pointerdown", [palm], "touch"])
    bench.evaluate(SEND, ["pointerup", [palm], "touch"])
    drawn = rows(bench)
    assert drawn[0] == "1 padauk, 5 -" and drawn[5] == "6 -"


def test_the_drawing_stays_in_sight_while_planks_are_chosen(bench):
    bench.get_by_role("radio", name="Padauk").scroll_into_view_if_needed()
    bench.evaluate("scrollTo(0, document.body.scrollHeight / 2)")
    expect(bench.locator("#bench-sheet")).to_be_in_viewport(ratio=1)
    expect(bench.get_by_role("button", name="Undo")).to_be_in_viewport(ratio=1)
