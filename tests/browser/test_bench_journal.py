"""What was drawn is written down on the device: a reload, a closed tab and a second tab lose nothing."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.support.bench import at_the_bench, choose, draw, rows, written
from tests.support.shop import add_woods, design_with_pattern


@pytest.fixture
def address(owner, transactional_db):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return f"/designs/{design_with_pattern(owner).pk}/bench/"


@pytest.fixture
def bench(open_page, address):
    return at_the_bench(open_page(address))


def lay(page, row: int) -> None:
    choose(page, "Lay tiles", "Padauk")
    draw(page, (row, 1), (row, 6))


def test_a_reload_keeps_the_drawing_and_every_step_of_it(bench):
    lay(bench, 1)
    lay(bench, 6)
    bench.get_by_role("button", name="Undo").click()
    written(bench)
    bench.reload()
    at_the_bench(bench)
    expect(bench.locator("#bench-told")).to_contain_text("You carry on where you left off: 1 step from drawing 1")
    assert rows(bench)[0] == "6 padauk" and rows(bench)[5] == "6 -"
    bench.get_by_role("button", name="Redo").click()
    assert rows(bench)[5] == "6 padauk"
    for _ in range(2):
        bench.get_by_role("button", name="Undo").click()
    assert rows(bench)[0] == rows(bench)[5] == "6 -"


def test_a_drawing_whose_size_changed_comes_back_with_its_steps(bench):
    before = rows(bench)
    bench.get_by_role("button", name="Trim").click()
    lay(bench, 1)
    written(bench)
    bench.reload()
    at_the_bench(bench)
    assert len(rows(bench)) == 4
    for _ in range(2):
        bench.get_by_role("button", name="Undo").click()
    assert rows(bench) == before


def test_a_tab_that_is_closed_without_a_word_loses_nothing(bench, address):
    lay(bench, 1)
    written(bench)
    bench.close(run_before_unload=False)
    again = bench.context.new_page()
    again.goto(address)
    at_the_bench(again)
    assert rows(again)[0] == "6 padauk"


def test_beginning_again_is_a_step_that_can_be_taken_back(bench):
    before = rows(bench)
    lay(bench, 1)
    written(bench)
    bench.reload()
    at_the_bench(bench)
    bench.get_by_role("button", name="Begin again from drawing 1").click()
    assert rows(bench) == before
    bench.get_by_role("button", name="Undo").click()
    assert rows(bench)[0] == "6 padauk"


def test_many_steps_come_back_from_the_nearest_whole_picture(bench):
    bench.locator("#bench-sheet").focus()
    bench.keyboard.press(bench.locator("#bench-planks li", has_text="Padauk").locator("kbd").inner_text())
    for key in ("Space", "ArrowRight", "0") * 45:
        bench.keyboard.press(key)
    choose(bench, "Padauk")
    draw(bench, (6, 1), (6, 6))
    written(bench)
    drawn = rows(bench)
    bench.reload()
    at_the_bench(bench)
    assert rows(bench) == drawn


def test_where_nothing_can_be_written_down_the_maker_is_told_and_may_still_draw(open_page, address):
    page = open_page("/designs/")
    page.add_init_script("Object.defineProperty(window, 'indexedDB', { get() { throw new Error('none here'); } })")
    page.goto(address)
    at_the_bench(page)
    expect(page.locator("#bench-told")).to_contain_text("cannot be written down on this device")
    lay(page, 1)
    assert rows(page)[0] == "6 padauk"
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.reload()
    assert asked == ["beforeunload"]


def test_a_drawing_that_is_written_down_closes_without_a_question(bench):
    lay(bench, 1)
    written(bench)
    asked = []
    bench.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    bench.reload()
    at_the_bench(bench)
    assert asked == []


def test_a_full_device_says_so_and_writes_everything_once_there_is_room(bench):
    lay(bench, 1)
    written(bench)
    bench.evaluate(
        """() => { window.put = IDBObjectStore.prototype.put;
                   IDBObjectStore.prototype.put = () => { throw new DOMException('full', 'QuotaExceededError'); }; }"""
    )
    lay(bench, 2)
    expect(bench.locator("#bench-told")).to_contain_text("cannot be written down on this device")
    bench.evaluate("() => { IDBObjectStore.prototype.put = window.put; }")
    lay(bench, 3)
    expect(bench.locator("#bench-told")).not_to_contain_text("cannot be written down")
    written(bench)
    drawn = rows(bench)
    bench.reload()
    at_the_bench(bench)
    assert rows(bench) == drawn and drawn[1] == drawn[2] == "6 padauk"


def test_a_blank_grid_is_drawn_on_over_a_reload_and_kept_as_the_first_drawing(open_page, owner, transactional_db):
    from shopapp.designs.models import Design

    add_woods("sycamore", "padauk")
    design = Design.objects.create(name="Blank", source="blank", rights="own", reading={"rows": 4, "columns": 6})
    page = at_the_bench(open_page(f"/designs/{design.pk}/bench/"))
    lay(page, 1)
    written(page)
    page.reload()
    at_the_bench(page)
    assert rows(page) == ["6 padauk", "6 -", "6 -", "6 -"]
    page.get_by_role("button", name="Keep this drawing").click()
    expect(page.locator("#bench-told")).to_contain_text("Drawing 1 is kept.")
    kept = design.versions.get()
    assert (kept.parent, kept.made, kept.pattern.splitlines()[0]) == (None, "bench", "6 padauk")


def test_a_browser_whose_storage_was_cleared_meanwhile_has_everything_written_anew(bench):
    lay(bench, 1)
    written(bench)
    bench.evaluate(
        """() => new Promise(done => { const gone = indexedDB.deleteDatabase('kerfstead-bench');
                                       gone.onsuccess = gone.onerror = () => done(); })"""
    )
    lay(bench, 6)
    written(bench)
    bench.reload()
    at_the_bench(bench)
    assert rows(bench)[0] == rows(bench)[5] == "6 padauk"
    for _ in range(2):
        bench.get_by_role("button", name="Undo").click()
    assert rows(bench)[0] == rows(bench)[5] == "6 -"
