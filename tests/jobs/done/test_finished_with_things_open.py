"""A job is finished once nothing of it is open, or with what is open read and said; what was left so stands in its
story, and the sums go by it."""

from __future__ import annotations

import secrets
from datetime import date
from fractions import Fraction

import pytest
from django.db import DatabaseError, connection, transaction
from django.urls import reverse

from shopapp.jobs.actions import JobFacts, ThingsOpen, change_job, move_job
from shopapp.jobs.done.open import open_of
from shopapp.jobs.done.readers import done_page
from shopapp.jobs.models import Job, JobEvent
from shopapp.jobs.timing import timed_of
from shopapp.lumber.models import StockPiece
from shopapp.lumber.stock.promises import bring_back_whole
from shopapp.people.models import Member
from shopapp.plans.cutting.doing.actions import Back
from shopapp.schedule.log.actions import say_done
from shopapp.schedule.log.planning import counts_of_record, operation_words
from shopapp.schedule.models import TimeEntry
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.cutagain import spoiled
from tests.support.log import write
from tests.support.rack import boards
from tests.support.sawing import a_rack, as_planned, back, cut, cutting_of, now, sawn


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def job(owner):
    return work.move(owner, work.job(owner, work.kept(owner)), "under way")


def fresh(job) -> Job:
    return Job.objects.select_related("plan").get(pk=job.pk)


def finish(owner, job, **given):
    job = fresh(job)
    return move_job(who=owner, job=job, state="finished", seen_version=job.edit_version, **given)


def page(owner, job):
    return done_page(fresh(job), the_workshop(), owner)


def press(client, job, **given):
    job.refresh_from_db()
    form = {"form_key": secrets.token_urlsafe(24), "edit_version": job.edit_version, "state": "finished", **given}
    return client.post(reverse("jobs:move", args=[job.pk]), form)


def test_with_nothing_open_it_is_finished_by_one_press(owner, owner_client, job):
    assert press(owner_client, job).url == job.get_absolute_url()
    event = JobEvent.objects.first()
    assert (event.words, event.left) == ("Flag is finished.", {}) and fresh(job).state == "finished"


def test_pressed_with_things_open_it_is_not_finished_and_they_are_shown(owner, owner_client, job):
    reserved, _ = boards(owner, 2, wood="sycamore")
    work.give(owner, job, "reserve", reserved)
    answer = press(owner_client, job)
    assert answer.url == reverse("jobs:done", args=[job.pk]) and fresh(job).state == "under way"
    body = owner_client.get(answer.url).content.decode()
    assert "Something of it is still open." in body and "Give up the reservation" in body
    assert f'name="with_open" value="{open_of(fresh(job), owner).seen}"' in body


def test_what_came_to_be_open_since_it_was_read_is_not_passed_over(owner, job):
    one, two = boards(owner, 2, wood="sycamore")
    work.give(owner, job, "reserve", one)
    read = open_of(fresh(job), owner).seen
    work.give(owner, job, "take", two)
    with pytest.raises(ThingsOpen, match="Something else is open by now"):
        finish(owner, job, with_open=read)
    assert fresh(job).state == "under way" and StockPiece.objects.get(pk=one.pk).demand is not None


def test_finished_all_the_same_frees_what_is_reserved_and_writes_the_rest_into_its_story(owner, job):
    a_rack(owner)
    _, mark = sawn(owner, cutting_of(job))
    reserved = boards(owner, 1, wood="padauk")
    work.give(owner, job, "reserve", *reserved)
    for operation in ("crosscut", "sand_dm2"):
        write(owner, timed_of(job), operation, 50)
    spoiled(owner, job)
    read = open_of(fresh(job), owner)
    assert mark in read.waste and read.whole and read.offcuts
    event = finish(owner, job, with_open=read.seen, learn=["crosscut", "nothing of the kind"])
    assert event.left == {"waste": read.waste, "again": 1, "log": ["sand_dm2"]}
    assert event.words.startswith("Flag is finished with things open. ")
    for words in (
        f"{reserved[0].mark} is free again.",
        f"Nothing more comes back of {', '.join(read.waste)}: what is left of it is waste.",
        "1 piece was not cut again.",
        f"Not learned from: {operation_words('sand_dm2')}.",
    ):
        assert words in event.words
    assert not StockPiece.objects.filter(demand__key=job.key, state="here").exists()
    # What is done is learned from, the rest is not.
    assert list(TimeEntry.objects.filter(kind="done").values_list("operation", flat=True)) == ["crosscut"]
    told = page(owner, job)
    assert not told.open and len(told.left) == 3


def test_boards_written_off_are_gone_and_no_longer_out_uncut_and_taken_is_still_the_sum(owner, job):
    a_rack(owner)
    sawn(owner, cutting_of(job))
    before = {line.wood.wood: line for line in page(owner, job).woods}
    assert any(line.lies for line in before.values())
    finish(owner, job, with_open=open_of(fresh(job), owner).seen)
    for wood, line in ((line.wood.wood, line) for line in page(owner, job).woods):
        assert (line.lies, line.taken, line.back) == (0, before[wood].taken, before[wood].back)
        assert line.taken == line.back + line.stays + line.gone
        assert line.gone - (before[wood].gone or 0) == before[wood].lies or before[wood].gone is None


def test_a_board_written_off_can_still_be_brought_back_and_is_not_waste_then(owner, job):
    (board,) = boards(owner, 1, wood="walnut-black")
    work.give(owner, job, "take", board)
    finish(owner, job, with_open=open_of(fresh(job), owner).seen)
    bring_back_whole(who=owner, piece=StockPiece.objects.get(pk=board.pk))
    assert page(owner, job).woods[1].taken == 0


def test_taken_up_again_everything_is_open_as_it_was(owner, job):
    (board,) = boards(owner, 1, wood="walnut-black")
    work.give(owner, job, "take", board)
    finish(owner, job, with_open=open_of(fresh(job), owner).seen)
    work.move(owner, job, "under way")
    assert page(owner, job).open.whole == [board] and page(owner, job).left == []


def test_what_was_left_open_stays_so_whatever_is_said_of_the_job_since(owner, job):
    (board,) = boards(owner, 1, wood="walnut-black")
    work.give(owner, job, "take", board)
    finish(owner, job, with_open=open_of(fresh(job), owner).seen)
    now = fresh(job)
    facts = JobFacts(label="Flag with a knot", kind="gift", plan=now.plan)
    change_job(who=owner, job=now, facts=facts, seen_version=now.edit_version)
    work.move(owner, job, "handed over")
    move_job(who=owner, job=fresh(job), state="finished", seen_version=fresh(job).edit_version)
    told = page(owner, job)
    assert not told.open and told.left == [f"Nothing more comes back of {board.mark}: what is left of it is waste."]
    # Begun again and finished with nothing open: what was left before is over.
    work.move(owner, job, "under way")
    bring_back_whole(who=owner, piece=StockPiece.objects.get(pk=board.pk))
    finish(owner, job)
    assert page(owner, job).left == []


def test_each_thing_can_be_settled_on_the_way_and_then_nothing_is_open(owner, job):
    """Boards cut to their end, offcuts back as they measure or thrown away, the log closed: one press is enough."""
    a_rack(owner)
    cutting = cutting_of(job)
    sheet, _ = sawn(owner, cutting)
    begun = (cutting, sheet)
    for one in now(cutting).boards:
        if not one.is_done:
            cut(owner, begun, one.board.mark)
        if planned := as_planned(begun, one.board.mark):
            kept, *thrown = planned
            back(owner, begun, one.board.mark, kept, *(Back(one.planned, None) for one in thrown))
    write(owner, timed_of(job), "crosscut", 50)
    planned = counts_of_record(job.plan.record)
    given = {"operations": ["crosscut"], "on": date(2026, 3, 2), "planned": planned}
    say_done(who=owner, key=job.key, label=job.label, **given)
    assert not open_of(fresh(job), owner)
    assert finish(owner, job).left == {}
    for line in page(owner, job).woods:
        assert line.lies == 0 and line.taken == line.back + line.stays + line.gone


def test_a_helper_finishes_with_things_open_too(owner, client, job):
    helper = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    (board,) = boards(owner, 1, wood="sycamore")
    work.give(owner, job, "reserve", board)
    client.force_login(helper)
    assert press(client, job).url == reverse("jobs:done", args=[job.pk])
    press(client, job, with_open=open_of(fresh(job), helper).seen)
    assert fresh(job).state == "finished" and StockPiece.objects.get(pk=board.pk).demand is None


def test_what_was_left_open_is_never_changed(owner, job):
    (board,) = boards(owner, 1, wood="sycamore")
    work.give(owner, job, "take", board)
    event = finish(owner, job, with_open=open_of(fresh(job), owner).seen)
    with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE jobs_jobevent SET left = '{}' WHERE id = %s", [event.pk])


def test_the_wood_of_a_finished_job_by_plain_sql(owner, job):
    """Taken less what came back, straight from the rack's moves, is what stays and what is gone."""
    a_rack(owner)
    sawn(owner, cutting_of(job))
    finish(owner, job, with_open=open_of(fresh(job), owner).seen)
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT p.wood, p.thickness, p.width, p.length FROM lumber_stockmove m "
            "JOIN lumber_stockentry e ON e.id = m.entry_id JOIN lumber_stockpiece p ON p.id = m.piece_id "
            "JOIN lumber_demand d ON d.id = e.demand_id WHERE e.kind = 'taken' AND d.key = %s",
            [job.key],
        )
        rows = cursor.fetchall()
    for line in page(owner, job).woods:
        taken = sum(Fraction(t * w * long, 10**18) for wood, t, w, long in rows if wood == line.wood.wood)
        assert taken / (144 * Fraction("25.4") ** 3) == line.stays + line.gone + line.back
