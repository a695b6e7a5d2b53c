"""Tiles measured at the bench: kept with who and when, never changed, and every later size and stop follows."""

from __future__ import annotations

import html
import re

import pytest
from django.db import DatabaseError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from planner.errors import PlannerError
from planner.measures import Length, format_length
from shopapp.people.models import Member
from shopapp.plans.cutting.actions import ask_for_plan, keep_plan_of
from shopapp.plans.cutting.asmade.actions import keep_measure
from shopapp.plans.cutting.asmade.planning import Measured, follow, said_of
from shopapp.plans.cutting.doing.actions import report, start
from shopapp.plans.cutting.doing.planning import boards_of
from shopapp.plans.models import CutSheet, TileMeasured
from shopapp.workshop.readers import the_workshop
from tests.support.cutting import cutting, plan_and_rack
from tests.support.sawing import a_job, a_rack, cutting_of, keep

pytestmark = pytest.mark.django_db
mm = Length.of_mm


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    return plan_and_rack(owner)


@pytest.fixture(scope="module")
def sheet(owner, plan) -> CutSheet:
    return keep_plan_of(
        who=owner, cutting=cutting(plan), search=ask_for_plan(who=owner, cutting=cutting(plan), wishes={})
    )


def address(plan, sheet) -> str:
    return reverse("plans:cut_as_made", args=[plan.pk, sheet.pk])


def words_of(answer) -> str:
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return " ".join(html.unescape(text).replace("\u00a0", " ").split())


def typed(page, **changes) -> dict[str, str]:
    key = re.search(r'name="form_key" value="([^"]+)"', page.content.decode().split('id="measure-title"')[1])[1]
    return {"form_key": key, "unit_shown": "mm", "tiles": "1", "length": "20", "keep": "borders", **changes}


def words_in(page) -> str:
    """Only what stands where a measure's consequences are shown."""
    return words_of(page).split("Keep this measure")[1].split("What was measured")[0]


# The little flag: 4 tiles of 17 mm pitch in a row of 180 as glued, side borders 51, finished 170 by 102; with a glue
# line of 0.1 a tile is 16.9 long.


def test_a_gauged_tile_is_kept_with_who_and_when_and_everything_follows(owner, owner_client, plan, sheet):
    page = owner_client.get(address(plan, sheet))
    assert "One tile is planned 16.9 mm long" in words_of(page)
    assert owner_client.post(address(plan, sheet), typed(page, length="17")).url == address(plan, sheet)
    row = TileMeasured.objects.get()
    assert (row.length, row.tiles, row.pieces, row.width, row.keep) == (mm(17), 1, 1, None, "borders")
    assert row.who == owner and row.sheet == sheet
    words = words_of(owner_client.get(address(plan, sheet)))
    assert "17 mm a tile as made, 0.1 mm longer than the 16.9 mm planned" in words
    # Four tiles, each 0.1 mm longer.
    assert "A row as glued, left long 180 mm 180.4 mm" in words
    assert "The board, along its rows 170 mm 170.4 mm" in words
    assert "Side borders, each 51 mm 51 mm" in words
    # The tile's own stop: 17 and 25 of stand-off. The end borders are as long as a row.
    assert "Stop 42 mm , the 25 mm spacer in" in words and "Tile, 17 mm long. It stays at its mark." in words
    assert "Test cut: 10 parts out of scrap laid end to end measure 170 mm" in words
    assert "180.4 mm long. It stood at 205 mm." in words
    assert "17 mm one tile; the borders kept" in words and f", {owner}" in words and "counts" in words


def test_a_dry_row_in_runs_and_borders_that_make_up_for_it(owner_client, plan, sheet):
    page = owner_client.get(address(plan, sheet))
    # Four tiles in three pieces should measure 4 x 17 - 3 x 0.1 = 67.7; 68.1 makes each 0.1 longer.
    row = {"tiles": "4", "pieces": "3", "length": "68.1", "keep": "size"}
    assert owner_client.post(address(plan, sheet), typed(page, **row)).status_code == 302
    words = words_of(owner_client.get(address(plan, sheet)))
    assert "17 mm a tile as made" in words
    assert "Side borders, each 51 mm 50.8 mm" in words and "The board, along its rows 170 mm 170 mm" in words
    assert "68.1 mm 4 tiles in 3 pieces; the finished size kept" in words


def test_a_strip_s_width_makes_the_board_higher(owner_client, plan, sheet):
    page = owner_client.get(address(plan, sheet))
    # Gauged strips are 17 less 0.1 of glue and 0.2 twice to dress: 17.3. Two rows of 17.4 make it 0.2 higher.
    assert owner_client.post(address(plan, sheet), typed(page, length="16.9", width="17.4")).status_code == 302
    words = words_of(owner_client.get(address(plan, sheet)))
    assert "A row, high 17 mm 17.1 mm" in words and "The board, across its rows 102 mm 102.2 mm" in words
    assert "Every stop stays where it was planned." in words


def test_what_is_typed_in_inches_is_kept_exactly(owner_client, plan, sheet):
    page = owner_client.get(address(plan, sheet))
    assert owner_client.post(address(plan, sheet), typed(page, length="43/64 in")).status_code == 302
    assert TileMeasured.objects.get().length == Length.of_inches("43/64")


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"length": "17.8"}, "The tile measures 17.8 mm where 16.9 mm was planned: more than 5 % off"),
        ({"length": "16", "tiles": "4"}, "The row measures 16 mm where 67.6 mm was planned"),
        ({"length": "16.9", "width": "20"}, "The gauged strip measures 20 mm"),
        ({"length": "84.5", "tiles": "5"}, "A row of 5 tiles is not one of this board's 4 columns"),
        ({"length": "33.8", "tiles": "2", "pieces": "3"}, "2 tiles do not come in 3 pieces"),
        ({"length": "long"}, "long"),
        ({"length": ""}, "Nothing is written here yet"),
        ({"tiles": "0"}, "1"),
        ({"keep": "weight"}, "not among what is offered"),
    ],
)
def test_what_cannot_be_right_is_refused_in_words_and_what_was_typed_stays(owner_client, plan, sheet, changes, told):
    page = owner_client.get(address(plan, sheet))
    answer = owner_client.post(address(plan, sheet), typed(page, **{"length": "16.9", "pieces": "", **changes}))
    body = answer.content.decode()
    assert answer.status_code == 422 and told in words_of(answer)
    assert not TileMeasured.objects.exists()
    assert "Mend what is marked" in body
    for name in ("length", "tiles", "width"):
        if changes.get(name):
            field = re.search(rf'<input[^>]*name="{name}"[^>]*>', body)[0]
            assert f'value="{changes[name]}"' in field


def test_live_reckoning_shows_what_would_follow_and_writes_nothing(owner_client, plan, sheet):
    asked = {"length": "17", "tiles": "1", "keep": "borders", "unit_shown": "mm"}
    owner_client.get(address(plan, sheet))
    with CaptureQueriesContext(connection) as taken:
        answer = owner_client.get(address(plan, sheet), asked, headers={"HX-Request": "true"})
    words = words_of(answer)
    assert "What would follow" in words and "180.4 mm" in words and "<html" not in answer.content.decode()
    assert not [q["sql"] for q in taken if re.match(r"\s*(INSERT|UPDATE|DELETE)", q["sql"])]
    assert not TileMeasured.objects.exists()
    wrong = owner_client.get(address(plan, sheet), {**asked, "length": "20"}, headers={"HX-Request": "true"})
    assert wrong.status_code == 200 and "more than 5 % off" in words_of(wrong)


def test_the_newest_counts_and_the_older_stay_in_the_list(owner, owner_client, plan, sheet):
    for length in ("16.8", "17.1", "16.95"):
        keep_measure(who=owner, cutting=cutting(plan), sheet=sheet, measured=Measured(mm(length)), keep="borders")
    words = words_of(owner_client.get(address(plan, sheet)))
    assert words.count("replaced") == 2 and words.count("· counts") == 1
    assert "16.95 mm a tile as made, 0.05 mm longer" in words
    # 16.95 and 25 of stand-off lie beside the mark 42; four such tiles with their glue lines make a row.
    assert "Left at the mark, each is 0.05 mm longer, 0.2 mm over a row of 4." in words
    on_sheet = words_of(owner_client.get(reverse("plans:cut_sheet", args=[plan.pk, sheet.pk])))
    assert "2 more measures before it" in on_sheet


@pytest.mark.storage
def test_no_measure_is_changed_or_taken_back(owner, plan, sheet):
    row = keep_measure(who=owner, cutting=cutting(plan), sheet=sheet, measured=Measured(mm(17)), keep="borders")
    for change in (lambda: TileMeasured.objects.filter(pk=row.pk).update(length=mm(16)), row.delete):
        with pytest.raises(DatabaseError), transaction.atomic():
            change()
    assert TileMeasured.objects.get().length == mm(17)


def test_sent_twice_it_is_kept_once(owner_client, plan, sheet):
    sent = typed(owner_client.get(address(plan, sheet)), length="17")
    for _ in range(2):
        assert owner_client.post(address(plan, sheet), sent).status_code == 302
    assert TileMeasured.objects.count() == 1


def test_nothing_is_kept_for_what_is_closed(owner, plan, sheet):
    closed = cutting(plan, refuses=lambda: "This job is finished.")
    with pytest.raises(PlannerError, match="finished"):
        keep_measure(who=owner, cutting=closed, sheet=sheet, measured=Measured(mm(17)), keep="borders")
    assert not TileMeasured.objects.exists()


def test_a_cut_plan_kept_anew_goes_by_what_was_measured_before(owner, owner_client, plan, sheet):
    keep_measure(who=owner, cutting=cutting(plan), sheet=sheet, measured=Measured(mm(17)), keep="borders")
    wishes = {"offcuts_first": True}
    again = keep_plan_of(
        who=owner, cutting=cutting(plan), search=ask_for_plan(who=owner, cutting=cutting(plan), wishes=wishes)
    )
    assert "17 mm a tile as made" in words_of(owner_client.get(address(plan, again)))


def test_the_kept_sheet_sets_the_stops_as_made_beside_the_planned_ones(owner, owner_client, plan, sheet):
    where = reverse("plans:cut_sheet", args=[plan.pk, sheet.pk])
    before = words_of(owner_client.get(where))
    assert "gauge one or lay a row dry" in before and "Stop 42 mm , the 25 mm spacer in, exact 41.9 mm" in before
    keep_measure(who=owner, cutting=cutting(plan), sheet=sheet, measured=Measured(mm(17)), keep="borders")
    after = words_of(owner_client.get(where))
    assert "17 mm a tile as made, 0.1 mm longer than the 16.9 mm planned" in after
    assert "Test cut: 10 parts out of scrap laid end to end measure 170 mm" in after
    # What holds wherever a stop stands is still said, what held at the planned one is folded away with it.
    assert "neither part nor strip is caught between stop and blade" in after
    assert "as made, for tile" in after and "Stop 42 mm, exact 41.9 mm." in after
    # 180.4 and 25 of stand-off lie between the marks 205 and 205.5 of a scale in half millimetres.
    assert "Stop 205.5 mm , the 25 mm spacer in, exact 205.4 mm" in after
    assert "Left at the mark, each top or bottom border is 0.1 mm longer." in after


def test_the_kept_sheet_says_why_its_set_ups_stand_in_their_order_and_how_far_fence_and_stop_move(
    owner_client, plan, sheet
):
    words = words_of(owner_client.get(reverse("plans:cut_sheet", args=[plan.pk, sheet.pk])))
    record = sheet.set_ups_record
    assert record["order"] and all(sentence in words for sentence in record["order"])
    moved = sum(
        (mm(one["travel"]) for step in record["steps"] for one in step["settings"] if one["what"] == "stop"), mm(0)
    )
    assert moved and f"The stop moves, in all {format_length(moved, 'mm')}" in words


def test_in_an_inch_shop_stops_are_told_in_its_unit(owner, owner_client, plan, sheet):
    workshop = the_workshop()
    workshop.unit = "in"
    workshop.save()
    keep_measure(who=owner, cutting=cutting(plan), sheet=sheet, measured=Measured(mm(17)), keep="borders")
    words = words_of(owner_client.get(address(plan, sheet)))
    # 17 mm and 16.9 mm to the nearest thousandth; 42 mm with the 25 mm spacer in.
    assert "0.669 in a tile as made, 0.004 in longer than the 0.665 in planned" in words
    assert "Stop 1.654 in , the 0.984 in spacer in" in words
    assert "They measure in" in words and " mm" not in words


def test_notes_of_one_distance_go_and_those_of_every_distance_stay(plan, sheet):
    notes = {note for step in sheet.set_ups_record["steps"] if step["kind"] == "part" for note in step["notes"]}
    old = {note for note in notes if note.startswith(("The scale shows", "Test cut"))}
    stops = follow(plan.record, sheet.form, sheet.set_ups_record, Measured(mm(17)), "borders", the_workshop()).stops
    assert old and len(stops) == 4
    for line in stops:
        assert any("the spacer taken away, then the cut" in note for note in line.notes)
        assert not old & set(line.notes)


def test_strips_that_would_keep_too_little_to_hold_are_named(owner, owner_client, plan, sheet):
    """Strip 2 of the sycamore keeps 100.25, grip is 100; five side borders come out 0.1 longer a tile: 6 tiles."""
    keep_measure(who=owner, cutting=cutting(plan), sheet=sheet, measured=Measured(mm(17)), keep="borders")
    words = words_of(owner_client.get(address(plan, sheet)))
    (short,) = follow(plan.record, sheet.form, sheet.set_ups_record, Measured(mm(17)), "borders", the_workshop()).short
    assert short.left == mm("100.25") - mm("0.6")
    assert "Too little left to hold" in words and f"{short.name}: 99.65 mm would stay" in words


def test_a_helper_at_the_bench_may_measure_and_somebody_else_s_sheet_is_not_found(owner, client, plan, sheet):

    client.force_login(Member.objects.create_user("joss", password="x", role=Member.Role.HELPER))
    assert client.post(address(plan, sheet), typed(client.get(address(plan, sheet)), length="17")).status_code == 302
    assert TileMeasured.objects.get().who.username == "joss"
    assert client.get(reverse("plans:cut_as_made", args=[plan.pk, sheet.pk + 1])).status_code == 404


def test_the_kept_sheet_says_what_a_tenth_of_a_millimetre_does_to_its_own_rows(owner_client, plan, sheet):
    """Four columns: 4 x 0.1, and √4 x 0.1; a row is left 5 mm long at each end (180 for 170)."""
    page = owner_client.get(reverse("plans:cut_sheet", args=[plan.pk, sheet.pk]))
    words = words_of(page)
    assert "0.1 mm too long on every tile makes a row of 4 longer by 0.4 mm" in words
    assert "makes it scatter by 0.2 mm" in words and "Laid from the seam after tile 2" in words
    assert "What an end is off goes into the 5 mm the rows are left long there" in words
    assert "a field of 2 rows deeper by 0.2 mm" in words
    assert "pieces × the error of each" in words


def test_an_inch_shop_is_told_in_thousandths(plan):
    workshop = the_workshop()
    workshop.unit = "in"
    assert said_of(plan.record, workshop)[0].words.startswith("0.005 in too long on every tile makes a row of 4")


def test_the_page_asks_the_database_as_often_with_many_measures_as_with_one(owner, owner_client, plan, sheet):
    def queries(where) -> int:
        with CaptureQueriesContext(connection) as taken:
            assert owner_client.get(where).status_code == 200
        return len(taken)

    def measure(length):
        keep_measure(who=owner, cutting=cutting(plan), sheet=sheet, measured=Measured(mm(length)), keep="borders")

    pages = [address(plan, sheet), reverse("plans:cut_sheet", args=[plan.pk, sheet.pk])]
    measure("17")
    with_one = [queries(page) for page in pages]
    for length in ("16.9", "16.8", "17.05"):
        measure(length)
    assert [queries(page) for page in pages] == with_one
    assert with_one[0] <= 7


def test_once_something_is_cut_the_bench_leads_to_the_measure_and_a_job_has_the_same_page(owner, owner_client):
    a_rack(owner)
    job = a_job(owner)
    wanted = cutting_of(job)
    sheet = keep(owner, wanted)
    there = reverse("jobs:cut_as_made", args=[job.pk, sheet.pk])
    bench = wanted.to("cut_doing")
    assert there not in owner_client.get(bench).content.decode()
    start(who=owner, cutting=wanted, sheet=sheet)
    report(who=owner, cutting=wanted, sheet=sheet, board=boards_of(sheet.form)[0], rough=None)
    assert there in owner_client.get(bench).content.decode()
    assert owner_client.post(there, typed(owner_client.get(there), length="17")).url == there
    assert "17 mm a tile as made" in words_of(owner_client.get(there))
    # What is measured for the job is not what is measured for the plan it was made from.
    assert TileMeasured.objects.get().sheet.key == wanted.key
