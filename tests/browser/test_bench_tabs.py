"""Two tabs at one bench, and drawings kept elsewhere meanwhile: everybody is told, nothing is lost."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from shopapp.designs.actions import add_drawing
from shopapp.designs.models import Design
from shopapp.designs.planning import pattern_from_text
from tests.support.bench import at_the_bench, choose, draw, rows, wait_for_row, written
from tests.support.shop import add_woods, design_with_pattern


@pytest.fixture
def address(owner, transactional_db):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return f"/designs/{design_with_pattern(owner).pk}/bench/"


@pytest.fixture
def first(open_page, address):
    return at_the_bench(open_page(address))


@pytest.fixture
def second(first, address):
    """Another tab of the same browser, opened after the first has laid its first row."""
    lay(first, 1)
    written(first)
    page = first.context.new_page()
    page.goto(address)
    return at_the_bench(page)


def lay(page, row: int) -> None:
    choose(page, "Padauk")
    draw(page, (row, 1), (row, 6))


def test_both_tabs_are_told_and_the_second_begins_with_what_the_first_has_drawn(first, second):
    expect(second.locator("#bench-told")).to_contain_text("Another tab is drawing this too")
    expect(first.locator("#bench-told")).to_contain_text("opened in another tab too")
    assert rows(second)[0] == "6 padauk"


def test_each_tab_keeps_its_own_branch_over_a_reload(first, second):
    lay(second, 2)
    lay(first, 6)
    written(first)
    written(second)
    for page, theirs in ((first, 5), (second, 1)):
        page.reload()
        at_the_bench(page)
        drawn = rows(page)
        assert drawn[0] == drawn[theirs] == "6 padauk"
        assert drawn[6 - theirs] != "6 padauk"


def test_the_second_tab_takes_over_with_every_step_and_the_first_rests(first, second):
    lay(first, 2)
    second.get_by_role("button", name="Carry on here instead").click()
    wait_for_row(second, 2, "6 padauk")
    expect(first.locator("#bench-told")).to_contain_text("this tab rests")
    lay(first, 3)
    assert rows(first)[2] != "6 padauk"
    second.get_by_role("button", name="Undo").click()
    second.get_by_role("button", name="Undo").click()
    assert rows(second)[0] == "6 -"
    lay(second, 6)
    written(second)
    first.get_by_role("button", name="Carry on here instead").click()
    wait_for_row(first, 6, "6 padauk")
    expect(second.locator("#bench-told")).to_contain_text("this tab rests")


def test_a_tab_whose_branch_was_taken_without_its_knowing_goes_on_with_one_of_its_own(first, second):
    """A sleeping tab does not answer; when it wakes, what it draws is kept apart."""
    lay(second, 2)
    written(second)
    first.evaluate(
        """() => new Promise(done => { const open = indexedDB.open('kerfstead-bench', 1); open.onsuccess = () => {
             const work = open.result.transaction('branches', 'readwrite'), all = work.objectStore('branches');
             all.openCursor().onsuccess = e => { const at = e.target.result; if (!at) return;
                 at.update({...at.value, holder: 'somebody else'}); at.continue(); };
             work.oncomplete = () => { open.result.close(); done(); }; }; })"""
    )
    lay(first, 5)
    expect(first.locator("#bench-told")).to_contain_text("kept apart, as a branch of its own")
    written(first)
    first.reload()
    at_the_bench(first)
    assert rows(first)[0] == rows(first)[4] == "6 padauk"


def test_a_branch_left_behind_by_a_closed_tab_is_offered(first, second, address):
    lay(second, 2)
    written(second)
    second.close()
    first.reload()
    at_the_bench(first)
    assert rows(first)[1] != "6 padauk"
    expect(first.locator("#bench-told")).to_contain_text("something not kept yet: 1 step from drawing 1")
    first.get_by_role("button", name="Open it").click()
    wait_for_row(first, 2, "6 padauk")


def test_a_drawing_kept_on_another_device_is_told_and_keeping_makes_a_branch(first, owner):
    lay(first, 1)
    design = Design.objects.get()
    other = pattern_from_text("\n".join(["6 walnut-black"] * 6))
    add_drawing(who=owner, design=design, pattern=other, made="bench", parent=design.versions.get())
    first.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(first.locator("#bench-told")).to_contain_text("Drawing 2 was kept by mara")
    expect(first.locator("#bench-told")).to_contain_text(
        "Yours began from drawing 1: keep it, and both remain side by side"
    )
    first.get_by_role("button", name="Keep this drawing").click()
    expect(first.locator("#bench-told")).to_contain_text("Neither is lost")
    kept = design.versions.get(number=3)
    assert kept.parent.number == 1 and kept.pattern.startswith("6 padauk\n")
    assert design.versions.get(number=2).pattern == other.to_text()


def test_a_drawing_kept_in_another_tab_is_told_at_once(first, second):
    second.get_by_role("button", name="Keep this drawing").click()
    expect(first.locator("#bench-told")).to_contain_text("Drawing 2 was kept in another tab")
