"""What the shop answers at the bench: figures, what is pointed out and its mends, and a drawing kept."""

from __future__ import annotations

import re
from urllib.parse import parse_qsl

import pytest
from playwright.sync_api import expect

from shopapp.designs.models import Design
from tests.support.bench import at_the_bench, choose, draw, looked_over, middle_of, rows, written
from tests.support.rack import boards
from tests.support.shop import add_woods, design_with_pattern


@pytest.fixture
def address(owner, transactional_db):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    boards(owner)
    return f"/designs/{design_with_pattern(owner).pk}/bench/"


@pytest.fixture
def bench(open_page, address):
    return at_the_bench(open_page(address))


def test_tiles_and_length_to_lay_follow_each_wood_as_it_is_drawn(bench):
    plank = bench.locator("#bench-planks li", has_text="Padauk")
    # Tiles of 17 mm, six of them 102 mm.
    before = int(plank.locator("small").inner_text().split()[0]) if "tile" in plank.inner_text() else 0
    choose(bench, "Padauk")
    draw(bench, (1, 1), (1, 6))
    expect(plank).to_contain_text(f"{before + 6} tiles, {(before + 6) * 17 / 1000:.2f} m to lay, none free")
    # A board of 150 by 2000 mm, seven strips wide; tests/designs/test_free_strip_at_the_bench has the sum.
    expect(bench.locator("#bench-planks li", has_text="Black walnut")).to_contain_text("11.88 m free")
    bench.get_by_role("button", name="Undo").click()
    expect(plank).not_to_contain_text(f"{before + 6} tiles")


def test_tiles_and_pieces_are_counted_as_the_planner_counts_them(bench):
    answers = []
    bench.on("response", lambda one: answers.append(one) if one.url.endswith("/bench/hints/") else None)
    choose(bench, "Padauk", "Frame")
    draw(bench, (1, 1), (6, 6))
    bench.get_by_role("button", name="Undo").click()
    bench.get_by_role("button", name="Redo").click()
    draw(bench, (3, 3), (4, 4))
    drawn = "\n".join(rows(bench))
    looked_over(bench)
    said = next(one.json() for one in answers if dict(parse_qsl(one.request.post_data))["pattern"] == drawn)
    tiles = sum(said["counts"].values())
    expect(bench.locator("#bench-tiles")).to_have_text(f"{tiles} tiles")
    expect(bench.locator("#bench-runs")).to_contain_text(f"in {said['runs']} pieces")


def test_size_lumber_hours_and_price_follow_from_the_shop(bench):
    figures = bench.locator("#bench-figures")
    expect(figures).to_contain_text("Hours, likely")
    expect(figures).to_contain_text("A price worth asking")
    before = figures.locator(".figure", has_text="Hours, likely").locator(".amount").inner_text()
    choose(bench, "Padauk", "Lay a block")
    draw(bench, (2, 2), (5, 5))
    expect(figures.locator(".figure", has_text="Hours, likely").locator(".amount")).not_to_have_text(before)


def test_a_loose_tile_is_pointed_out_and_mended_in_one_press_that_can_be_taken_back(bench):
    choose(bench, "Black walnut", "Lay a block")
    draw(bench, (1, 1), (6, 6))
    choose(bench, "Padauk", "Lay tiles")
    draw(bench, (3, 4))
    hint = bench.locator("#bench-hints li", has_text="single tile")
    expect(hint).to_be_visible()
    hint.locator(".mends").click()
    assert rows(bench)[2] == "6 walnut-black"
    bench.get_by_role("button", name="Undo").click()
    assert rows(bench)[2] == "3 walnut-black, 1 padauk, 2 walnut-black"


def test_a_drawing_is_kept_under_its_name_and_the_bench_goes_on_from_it(bench):
    choose(bench, "Padauk")
    draw(bench, (1, 1), (1, 6))
    bench.get_by_label("Name of this drawing").fill("with a red sky")
    bench.get_by_role("button", name="Keep this drawing").click()
    expect(bench.locator("#bench-told")).to_contain_text("Drawing 2 is kept.")
    kept = Design.objects.get().versions.get(number=2)
    assert (kept.name, kept.made, kept.parent.number) == ("with a red sky", "bench", 1)
    assert kept.pattern.startswith("6 padauk\n")
    expect(bench).to_have_url(re.compile(r"\?from=2$"))
    draw(bench, (6, 1), (6, 6))
    bench.get_by_role("button", name="Keep this drawing").click()
    expect(bench.locator("#bench-told")).to_contain_text("Drawing 3 is kept.")
    assert Design.objects.get().versions.get(number=3).parent.number == 2


def test_after_keeping_a_reload_stands_where_it_was_with_all_its_steps(bench):
    choose(bench, "Padauk")
    draw(bench, (1, 1), (1, 6))
    bench.get_by_role("button", name="Keep this drawing").click()
    expect(bench.locator("#bench-kept")).to_have_text("As kept in drawing 2.")
    written(bench)
    bench.reload()
    at_the_bench(bench)
    expect(bench.locator("#bench-kept")).to_have_text("As kept in drawing 2.")
    bench.get_by_role("button", name="Undo").click()
    assert rows(bench)[0] == "6 -"


def test_a_drawing_of_nothing_is_refused_in_words_and_stays_on_the_bench(open_page, address):
    bench = at_the_bench(open_page(address, expect="Failed to load resource"))
    choose(bench, "Nothing: take tiles off", "Lay a block")
    draw(bench, (1, 1), (6, 6))
    bench.get_by_role("button", name="Keep this drawing").click()
    expect(bench.locator("#id_name_error")).not_to_be_empty()
    assert rows(bench) == ["6 -"] * 6
    assert Design.objects.get().versions.count() == 1


def test_without_the_shops_machine_drawing_goes_on_and_keeping_is_tried_again(open_page, address):
    page = at_the_bench(open_page(address, expect="Failed to load resource"))
    expect(page.locator("#bench-figures")).to_contain_text("Hours, likely")
    page.context.set_offline(True)
    choose(page, "Padauk")
    draw(page, (1, 1), (1, 6))
    expect(page.locator("#bench-old")).to_contain_text("The figures are of an earlier drawing")
    page.get_by_role("button", name="Keep this drawing").click()
    expect(page.locator("#id_name_error")).to_contain_text("Not kept.")
    draw(page, (6, 1), (6, 6))
    page.context.set_offline(False)
    page.get_by_role("button", name="Keep this drawing").click()
    expect(page.locator("#bench-told")).to_contain_text("Drawing 2 is kept.")
    kept = Design.objects.get().versions.get(number=2).pattern.splitlines()
    assert kept[0] == kept[5] == "6 padauk"
    expect(page.locator("#bench-old")).to_be_hidden()


def test_an_answer_lost_on_the_way_keeps_the_drawing_once(open_page, address):
    page = at_the_bench(open_page(address, expect="Failed to load resource"))
    choose(page, "Padauk")
    draw(page, (1, 1), (1, 6))
    page.route("**/bench/keep/", lambda route: (route.fetch(), route.abort()), times=1)
    page.get_by_role("button", name="Keep this drawing").click()
    expect(page.locator("#id_name_error")).to_contain_text("Not kept.")
    page.get_by_role("button", name="Keep this drawing").click()
    expect(page.locator("#bench-told")).to_contain_text("already kept, as drawing 2")
    assert Design.objects.get().versions.count() == 2


def test_whoever_was_signed_out_is_told_and_what_is_drawn_stays(open_page, address):
    bench = at_the_bench(open_page(address, expect="Failed to load resource"))
    choose(bench, "Padauk")
    draw(bench, (1, 1), (1, 6))
    bench.context.clear_cookies()
    bench.get_by_role("button", name="Keep this drawing").click()
    expect(bench.locator("#id_name_error")).to_contain_text("You were signed out")
    assert rows(bench)[0] == "6 padauk"


def test_what_was_kept_already_is_not_kept_twice_unless_under_another_name(bench):
    bench.get_by_role("button", name="Keep this drawing").click()
    expect(bench.locator("#id_name_error")).to_contain_text("This is drawing 1 as it was kept.")
    assert Design.objects.get().versions.count() == 1
    bench.get_by_label("Name of this drawing").fill("as begun")
    bench.get_by_role("button", name="Keep this drawing").click()
    expect(bench.locator("#bench-told")).to_contain_text("Drawing 2 is kept.")
    assert Design.objects.get().versions.get(number=2).name == "as begun"


def test_a_helper_draws_and_counts_but_sees_no_price(open_page, address, live_server):
    from django.conf import settings
    from django.test import Client

    from shopapp.people.models import Member

    client = Client()
    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
    page = open_page("/sign-in/", signed_in=False)
    page.context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}])
    page.goto(address)
    at_the_bench(page)
    choose(page, "Padauk")
    draw(page, (1, 1), (1, 6))
    expect(page.locator("#bench-tiles")).to_have_text("22 tiles")
    assert page.locator("#bench-figures").count() == 0
    page.get_by_role("button", name="Keep this drawing").click()
    expect(page.locator("#bench-told")).to_contain_text("Drawing 2 is kept.")


def test_tiles_are_counted_while_the_hand_still_draws(bench):
    choose(bench, "Padauk")
    bench.mouse.move(*middle_of(bench, 1, 1))
    bench.mouse.down()
    bench.mouse.move(*middle_of(bench, 1, 6), steps=5)
    expect(bench.locator("#bench-tiles")).to_have_text("22 tiles")
    bench.mouse.up()


def test_nothing_is_said_to_be_well_before_the_shop_has_looked(open_page, address):
    page = open_page("/designs/", expect="Failed to load resource")
    page.route("**/bench/hints/", lambda route: route.abort())
    page.goto(address)
    at_the_bench(page)
    expect(page.locator("#bench-old")).to_contain_text("earlier drawing")
    expect(page.get_by_text("Nothing stands out")).to_be_hidden()
    page.unroute("**/bench/hints/")
    choose(page, "Black walnut", "Lay a block")
    draw(page, (2, 2), (5, 5))
    expect(page.get_by_text("Nothing stands out")).to_be_visible()
