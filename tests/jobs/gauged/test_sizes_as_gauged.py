"""A tile that was gauged changes every size that is told of its job from then on, each beside the plan's."""

from __future__ import annotations

import html
import re
from fractions import Fraction

import pytest
from django.urls import reverse
from django.utils import timezone

from planner.cutting import recut
from planner.measures import Length
from shopapp.jobs.binding import binding_of_job
from shopapp.jobs.gauged.planning import sizes_of
from shopapp.jobs.gauged.readers import gauged_of
from shopapp.jobs.models import Job
from shopapp.jobs.spoiled.actions import write_parts
from shopapp.jobs.spoiled.planning import alike_in
from shopapp.jobs.spoiled.readers import recut_of
from shopapp.jobs.tonight.readers import tonight_of
from shopapp.plans.book.actions import ask_for_book
from shopapp.plans.book.paper import book_html
from shopapp.plans.book.rows import rows_of
from shopapp.plans.book.sections import sections_of
from shopapp.plans.book.told import told_of
from shopapp.plans.cutting.asmade.actions import keep_measure
from shopapp.plans.cutting.asmade.planning import Measured
from shopapp.plans.models import CutSheet, ShopBook
from shopapp.workshop.readers import the_workshop
from tests.support import tonight as bench
from tests.support import work
from tests.support.sawing import a_rack, cutting_of, keep

mm = Length.of_mm


@pytest.fixture
def job(owner):
    return work.move(owner, work.job(owner, work.kept(owner)), "under way")


def measure(owner, job: Job, length: str, **besides) -> None:
    """A tile of the job's kept cut plan, in the gauge."""
    cutting = cutting_of(job)
    sheet = CutSheet.objects.filter(key=job.key).first()
    if sheet is None:
        a_rack(owner)
        sheet = keep(owner, cutting)
    given = {"keep": besides.pop("keep", "borders")}
    keep_measure(who=owner, cutting=cutting, sheet=sheet, measured=Measured(mm(length), **besides), **given)


def words_of(answer) -> str:
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return " ".join(html.unescape(text).replace("\u00a0", " ").split())


def a_tile(job):
    """The commonest part of one tile."""
    tiles = {n for n, part in enumerate(job.plan.record["parts"]) if part["kind"] == "tile"}
    return max((one for one in alike_in(job.plan) if set(one.parts) <= tiles), key=lambda one: one.planned)


def test_a_tile_a_tenth_longer_makes_what_is_cut_again_as_long(owner, job):
    """16.9 mm by the plan, 17 in the gauge; strips for three of them by hand: 3 × (17 + 3) + 2 × 25 + 100 = 210 mm, but
    no machine takes less than 305."""
    tile = a_tile(job)
    write_parts(who=owner, job=job, kind="besides", part=tile.parts[0], count=3 + tile.spares, why="a trial")
    before = recut_of(job, the_workshop(), owner, money=False, gauged=gauged_of(job, the_workshop()))
    assert before.gauged is None and before.lines[0].cut == tile and tile.length == mm("16.9")
    measure(owner, job, "17", width=mm("17.4"))
    after = recut_of(job, the_workshop(), owner, money=False, gauged=gauged_of(job, the_workshop()))
    line = after.lines[0]
    assert (line.to_cut, line.cut.length, line.alike.length) == (3, mm(17), mm("16.9"))
    # What is planned 17.3 across was gauged 17.4: everything is ripped a tenth wider too.
    assert (
        line.cut.gauged - tile.gauged
        == line.cut.width - tile.width
        == mm("17.4")
        - min(mm(part["stages"]["gauged"][1]) for part in job.plan.record["parts"] if part["kind"] != "across")
    )
    (strip,) = after.strips[0].section.strips
    assert (strip.needed, strip.cuts) == (mm(305), ((mm(17), 3),))


def test_the_newest_measure_counts_and_that_of_another_job_does_not(owner, job):
    other = work.job(owner, job.plan, label="Another")
    measure(owner, job, "17")
    measure(owner, job, "16.8")
    assert gauged_of(job, the_workshop()).sizes.tile == (mm("16.8"), mm("16.9"))
    assert gauged_of(other, the_workshop()) is None


def test_parts_of_one_size_that_are_not_any_more_are_cut_to_the_longest():
    class Stage:
        def __init__(self, name, length, width):
            self.name, self.length, self.width = name, mm(length), mm(width)

    class Made:
        def __init__(self, length):
            self.stages = [Stage("ripped", length, 18), Stage("gauged", length, 17), Stage("crosscut", length, 17)]

    alike = recut.Alike((0, 1), "tile or side border", "padauk", mm(18), mm(17), mm(21), mm(50), 9, 1, False)
    assert recut.as_made(alike, [Made("50.1"), Made(50)]).length == mm("50.1")


def test_the_page_of_spoiled_parts_says_both_sizes(owner, owner_client, job):
    tile = a_tile(job)
    write_parts(who=owner, job=job, kind="besides", part=tile.parts[0], count=1, why="a trial")
    measure(owner, job, "17")
    words = words_of(owner_client.get(reverse("jobs:spoiled", args=[job.pk])))
    assert "A tile is 17 mm as gauged, by the plan 16.9 mm." in words
    assert "17 mm by the plan 16.9 mm" in words and f"{float(tile.gauged.mm):g} mm × 17 mm" in words


def test_a_job_says_what_it_will_measure_and_keeps_its_size_where_borders_make_up_for_it(owner, owner_client, job):
    page = reverse("jobs:job", args=[job.pk])
    measure(owner, job, "17")
    # Six tiles a tenth longer each; the borders stay.
    words = words_of(owner_client.get(page))
    assert "Size as gauged 204.6 × 170 mm by the plan 204 × 170 mm" in words
    measure(owner, job, "17", keep="size")
    assert "Size as gauged" not in words_of(owner_client.get(page))


def test_at_the_bench_every_length_of_the_cut_plan_is_told_as_gauged(owner, owner_client, job):
    measure(owner, job, "17")
    words = words_of(owner_client.get(reverse("jobs:cut_doing", args=[job.pk])))
    # A tile, and the borders across that are as long as a row: six tiles a tenth longer each.
    assert "214.6 mm where 214 mm is written" in words and "17 mm where 16.9 mm is written" in words


def test_a_row_is_laid_and_the_board_cut_to_what_was_gauged(owner):
    bench.all_day(owner)
    making, _ = bench.rows_due(owner, work.kept(owner))
    job = Job.objects.select_related("plan").get(pk=int(making.key.split()[1]))
    rows = [task for task in tonight_of(timezone.localtime(), the_workshop()).every if task.panel]
    assert rows and not any(run.planned for task in rows for run in task.panel.laying.runs)
    measure(owner, job, "17")
    row = next(task for task in tonight_of(timezone.localtime(), the_workshop()).every if task.panel)
    laid = next(one for one in job.plan.record["laid"] if str(one["number"]) == row.facts.step.key.split("/")[2])
    for number, run in zip(laid["parts"], row.panel.laying.runs, strict=True):
        part = job.plan.record["parts"][number]
        planned = Fraction(part["stages"]["crosscut"][0])
        assert Fraction(run.length.split("\u00a0")[0]) == planned + Fraction(part["tiles"], 10)
        assert (Fraction(run.planned.split("\u00a0")[0]) == planned) if part["tiles"] else run.planned == ""
    # Six tiles of 17, two borders of 51 and 5 left long at either end are 214; the datum is behind the third tile.
    assert row.shown.gauged.replace("\u00a0", " ") == (
        "As gauged the row comes to 214.6 mm, its datum to 107.3 mm; by the plan 214 mm and 107 mm."
    )
    assert "datum 107 mm from the left end" in " ".join(row.facts.step.writes)


# --- the shop book ------------------------------------------------------------------------------------------------


def test_a_book_made_before_says_so_and_one_made_anew_has_the_gauged_sizes(owner, owner_client, job):
    """Rows of it are laid of tiles 17 mm long, 16.9 by the plan; every size stands on a leaf of its own."""
    a_rack(owner)
    sheet = keep(owner, cutting_of(job))
    binding = binding_of_job(job.pk)
    before = ask_for_book(who=owner, binding=binding, paper=ShopBook.Paper.A4)
    address = reverse("jobs:book", args=[job.pk])
    assert "gauged" not in words_of(owner_client.get(address))
    measure(owner, job, "17", width=mm("17.4"))
    said = words_of(owner_client.get(address))
    assert "Made before a tile was gauged on" in said and "Make the shop book as gauged" in said
    assert reverse("jobs:cut_as_made", args=[job.pk, sheet.pk]) in owner_client.get(address).content.decode()
    assert "the plan’s" in words_of(owner_client.get(reverse("jobs:cut_sheet", args=[job.pk, sheet.pk])))
    anew = ask_for_book(who=owner, binding=binding, paper=ShopBook.Paper.A4)
    assert anew.pk != before.pk and ask_for_book(who=owner, binding=binding, paper=ShopBook.Paper.A4).pk == anew.pk
    old, new = told_of(before), told_of(anew)
    assert sections_of(old)["gauged"] is None
    leaf = new.gauged.followed
    assert (leaf.tile, leaf.tile_planned) == (mm(17), mm("16.9"))
    made = sizes_of(job.plan, new.gauged.measure, the_workshop())
    assert [made.crosscut(n) for n in range(len(leaf.crosscuts))] == list(leaf.crosscuts)
    laid, planned = ({run.size for block in rows_of(one).blocks for run in block.runs} for one in (new, old))
    assert "17" in laid and "16.9" in planned and "16.9" not in laid
    page = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", book_html(anew)))
    assert "Sizes as gauged" in page and "Lengths and stops on this leaf are the plan’s." in page
    assert "Sizes as gauged" not in book_html(before)
