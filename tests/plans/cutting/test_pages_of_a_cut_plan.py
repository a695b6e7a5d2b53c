"""The pages of a cut plan: a first plan at once, the search, its end, the sheet that was kept."""

from __future__ import annotations

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from planner.measures import Length, round_half_up
from shopapp.common.tasks import run_waiting_tasks
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.actions import set_piece_aside
from shopapp.plans.cutting import planning
from shopapp.plans.cutting.actions import ask_for_plan, keep_plan_of
from shopapp.plans.models import CutSearch, CutSheet
from tests.support import work
from tests.support.cutting import cutting, plan_and_rack
from tests.support.rack import boards

pytestmark = pytest.mark.django_db


def typed(page, **changes):
    key = re.search(r'id="wishes".*?name="form_key" value="([^"]+)"', page.content.decode(), re.S)[1]
    woods = re.findall(r'name="(way_[\w-]+)"', page.content.decode())
    return {"form_key": key, "minutes": "1", **dict.fromkeys(woods, "face"), **changes}


def key_of(page, action: str) -> str:
    found = re.search(rf'action="[^"]*{action}".*?name="form_key" value="([^"]+)"', page.content.decode(), re.S)
    return found[1]


def test_a_first_plan_stands_there_at_once_and_nothing_is_written_for_it(owner, owner_client):
    plan = plan_and_rack(owner)
    page = owner_client.get(reverse("plans:cut", args=[plan.pk]))
    words = page.content.decode()
    assert "A first plan, longest parts first" in words and "Its wood costs" in words
    assert not CutSearch.objects.exists()


def test_asked_looked_for_and_kept(owner, owner_client):
    plan = plan_and_rack(owner)
    address = reverse("plans:cut", args=[plan.pk])
    assert owner_client.post(address, typed(owner_client.get(address))).url == address
    page = owner_client.get(address)
    assert "Stop here" in page.content.decode() and "Keep this plan" in page.content.decode()
    state = reverse("plans:cut_state", args=[plan.pk])
    assert "hx-get" in owner_client.get(state).content.decode()
    run_waiting_tasks()
    answer = owner_client.get(state, {"shown": "on-found"}).content.decode()
    assert "hx-get" not in answer and 'id="cut-acts" hx-swap-oob="true"' in answer
    page = owner_client.get(address)
    assert "Nothing is left to try" in page.content.decode()
    kept = owner_client.post(
        reverse("plans:cut_keep", args=[plan.pk]),
        {"form_key": key_of(page, "/keep/"), "search": CutSearch.objects.get().pk},
    )
    assert kept.url == address
    sheet = CutSheet.objects.get()
    assert sheet.matches_its_hash
    words = owner_client.get(address).content.decode()
    assert "The saw’s set-ups" in words and "What goes back to the rack" in words
    assert owner_client.get(reverse("plans:cut_sheet", args=[plan.pk, sheet.pk])).status_code == 200


@pytest.fixture
def helper_client(client):
    from shopapp.people.models import Member

    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    return client


def test_a_helper_sees_boards_and_no_money_and_starts_nothing(owner, helper_client):
    plan = plan_and_rack(owner)
    address = reverse("plans:cut", args=[plan.pk])
    first = helper_client.get(address).content.decode()
    search = ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
    looked = helper_client.get(address).content.decode()
    sheet = keep_plan_of(who=owner, cutting=cutting(plan), search=search)
    kept = helper_client.get(address).content.decode()
    one = helper_client.get(reverse("plans:cut_sheet", args=[plan.pk, sheet.pk])).content.decode()
    for words in (first, looked, kept, one):
        assert "Boards opened" in words
        assert "Its wood costs" not in words and "€" not in words and "Keep this plan" not in words
    for name in ("cut", "cut_stop", "cut_keep"):
        assert helper_client.post(reverse(f"plans:{name}", args=[plan.pk])).status_code == 403


def test_what_cannot_be_cut_is_told_with_the_part_the_limit_and_the_way_out_and_what_was_typed_stays(
    owner, owner_client
):
    plan = plan_and_rack(owner)
    address = reverse("plans:cut", args=[plan.pk])
    page = owner_client.get(address)
    gone = [piece.mark for piece in StockPiece.objects.filter(wood="padauk")]
    answer = owner_client.post(address, typed(page, leave_out=gone, offcuts_first="on", minutes="10"))
    words = answer.content.decode()
    assert answer.status_code == 422 and not CutSearch.objects.exists()
    assert "It cannot be cut like this" in words and "There is no Padauk on the rack that is free" in words
    assert "Buy Padauk" in words
    assert f'value="{gone[0]}" checked' in words and 'value="10" selected' in words
    assert "checked" in re.search(r'<input[^>]*name="offcuts_first"[^>]*>', words)[0]


def test_without_any_wood_the_page_says_so_before_anything_is_asked(owner, owner_client):
    plan = plan_and_rack(owner)
    StockPiece.objects.update(set_aside="away")
    words = owner_client.get(reverse("plans:cut", args=[plan.pk])).content.decode()
    assert "It cannot be cut like this" in words and "on the rack that is free" in words


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"bought_wood": "padauk"}, "Write what such a board would have"),
        ({"bought_price": "12"}, "Choose the wood of this board"),
        ({"bought_wood": "padauk", "bought_width": "wide"}, "wide"),
        ({"minutes": "99"}, "not among what is offered"),
        ({"way_padauk": "sideways"}, "not among what is offered"),
    ],
)
def test_what_is_typed_wrongly_is_told_beside_it(owner, owner_client, changes, told):
    plan = plan_and_rack(owner)
    address = reverse("plans:cut", args=[plan.pk])
    answer = owner_client.post(address, typed(owner_client.get(address), **changes))
    assert answer.status_code == 422 and told in answer.content.decode()
    assert not CutSearch.objects.exists()


def test_wishes_are_kept_with_the_search_and_stand_in_the_form_next_time(owner, owner_client):
    plan = plan_and_rack(owner)
    address = reverse("plans:cut", args=[plan.pk])
    board = {"bought_wood": "padauk", "bought_count": "2", "bought_thickness": "27", "bought_width": "120"}
    board |= {"bought_length": "1000", "bought_price": "14.50"}
    kinds = {"one_board": ["tile"], "pair_borders": "on", "way_sycamore": "either"}
    assert owner_client.post(address, typed(owner_client.get(address), **board, **kinds)).status_code == 302
    search = CutSearch.objects.get()
    sizes = {"wood": "padauk", "thickness": "27", "width": "120", "length": "1000", "price": "14.50"}
    assert search.wishes == {
        "pair_borders": True,
        "ways": {"sycamore": "either"},
        "one_board": ["tile"],
        "bought": [sizes, sizes],
    }
    words = owner_client.get(address).content.decode()
    for value in ("14.50", "120", "1000"):
        assert f'value="{value}"' in words
    assert 'value="tile" checked' in words


def test_a_board_to_buy_is_weighed_against_the_plan_without_it(owner, owner_client):
    plan = plan_and_rack(owner)
    without = ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
    sizes = {"wood": "sycamore", "thickness": "27", "width": "150", "length": "600", "price": "0.10"}
    ask_for_plan(who=owner, cutting=cutting(plan), wishes={"bought": [sizes]})
    words = owner_client.get(reverse("plans:cut", args=[plan.pk])).content.decode()
    assert "Without the boards to buy" in words and "Buying them spares" in words
    assert f"{round_half_up(without.cost_money, 2)}" in words


def test_when_the_rack_changed_nothing_is_kept_and_a_new_search_is_offered(owner, owner_client):
    plan = plan_and_rack(owner)
    search = ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
    page = owner_client.get(reverse("plans:cut", args=[plan.pk]))
    mark = planning.boards_used(search.best)[0]
    set_piece_aside(who=owner, piece=StockPiece.objects.get(mark=mark), reason="a shake")
    keep = {"form_key": key_of(page, "/keep/"), "search": search.pk}
    answer = owner_client.post(reverse("plans:cut_keep", args=[plan.pk]), keep)
    words = answer.content.decode()
    assert answer.status_code == 409 and f"{mark} was set aside meanwhile: a shake." in words
    assert "Look again with the rack as it is" in words and not CutSheet.objects.exists()


def test_stopped_from_its_page_and_a_second_press_changes_nothing(owner, owner_client):
    plan = plan_and_rack(owner)
    ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
    address = reverse("plans:cut", args=[plan.pk])
    key = {"form_key": key_of(owner_client.get(address), "/stop/")}
    for _ in range(2):
        assert owner_client.post(reverse("plans:cut_stop", args=[plan.pk]), key).url == address
    words = owner_client.get(address).content.decode()
    assert "The search has ended" in words and "Keep this plan" in words and "Stop here" not in words


def test_an_older_sheet_says_that_a_newer_one_counts(owner, owner_client):
    plan = plan_and_rack(owner)
    sheets = [
        keep_plan_of(
            who=owner, cutting=cutting(plan), search=ask_for_plan(who=owner, cutting=cutting(plan), wishes=wishes)
        )
        for wishes in ({}, {"offcuts_first": True})
    ]
    older, newer = (
        owner_client.get(reverse("plans:cut_sheet", args=[plan.pk, one.pk])).content.decode() for one in sheets
    )
    assert "that one counts" in older and "that one counts" not in newer
    words = owner_client.get(reverse("plans:cut", args=[plan.pk])).content.decode()
    assert words.count("replaced") == 1 and words.count("the one that counts") == 1


def test_a_sheet_of_another_is_not_found(owner, owner_client):
    plan = plan_and_rack(owner)
    search = ask_for_plan(who=owner, cutting=cutting(plan, key="another"), wishes={})
    sheet = keep_plan_of(who=owner, cutting=cutting(plan, key="another"), search=search)
    assert owner_client.get(reverse("plans:cut_sheet", args=[plan.pk, sheet.pk])).status_code == 404
    keep = {"form_key": "x", "search": search.pk}
    assert owner_client.post(reverse("plans:cut_keep", args=[plan.pk]), keep).status_code == 404


def test_a_job_has_the_same_pages_and_one_without_a_plan_says_what_it_lacks(owner, owner_client):
    plan = plan_and_rack(owner)
    job, bare = work.job(owner, plan), work.job(owner, None, label="Bare")
    address = reverse("jobs:cut", args=[job.pk])
    assert f'href="{address}"' in owner_client.get(job.get_absolute_url()).content.decode()
    assert f'href="{address}"' in owner_client.get(reverse("jobs:wood", args=[job.pk])).content.decode()
    assert owner_client.post(address, typed(owner_client.get(address))).url == address
    assert CutSearch.objects.get().key == f"job {job.pk}"
    assert owner_client.get(reverse("jobs:cut", args=[bare.pk])).status_code == 404
    assert reverse("jobs:cut", args=[bare.pk]) not in owner_client.get(bare.get_absolute_url()).content.decode()


def test_the_pages_ask_the_database_as_often_with_a_full_rack_as_with_little(owner, owner_client):
    plan = plan_and_rack(owner)
    address = reverse("plans:cut", args=[plan.pk])

    def queries() -> int:
        with CaptureQueriesContext(connection) as taken:
            assert owner_client.get(address).status_code == 200
        return len(taken)

    with_few = queries()
    for wood in ("sycamore", "padauk", "walnut-black"):
        boards(owner, 9, wood=wood)
    assert queries() == with_few <= 9
    search = ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
    assert queries() <= 10
    keep_plan_of(who=owner, cutting=cutting(plan), search=search)
    assert queries() <= 11


def test_why_no_plan_costs_less_is_said_for_every_wood_by_the_maker_s_name_and_in_their_currency(owner, owner_client):
    plan = plan_and_rack(owner)
    ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
    address = reverse("plans:cut", args=[plan.pk])
    assert "Why can none cost less?" not in owner_client.get(address).content.decode()
    run_waiting_tasks()
    words = owner_client.get(address).content.decode()
    reasons = words.partition("Why can none cost less?")[2].partition("</details>")[0]
    names = [wood["name"] for wood in plan.record["woods"]]
    assert reasons.count("<p>") == reasons.count("under these rules") == len(names) > 1
    assert all(name in reasons for name in [*names, "€"])


def test_a_shade_can_be_asked_for_where_boards_have_one_and_what_is_not_of_it_is_left(owner, owner_client):
    plan = plan_and_rack(owner)
    address = reverse("plans:cut", args=[plan.pk])
    assert 'name="shade_' not in owner_client.get(address).content.decode()
    (dark,) = boards(owner, 1, wood="sycamore", length=Length.of_mm(600), facts={"shade": "honey"})
    page = owner_client.get(address)
    assert re.findall(r'name="(shade_[\w-]+)"', page.content.decode()) == ["shade_sycamore"]
    assert owner_client.post(address, typed(page, shade_sycamore="honey")).status_code == 302
    search = CutSearch.objects.get()
    sycamore = set(StockPiece.objects.filter(wood="sycamore").values_list("mark", flat=True))
    assert search.wishes == {"shades": {"sycamore": "honey"}}
    assert sycamore & set(planning.boards_used(search.best)) == {dark.mark}
