"""A timetable is asked for with a first one at once, kept with its evenings booked, ticked at the bench and planned
again from what was ticked; what is kept is never changed."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.models import StoredDocument
from shopapp.common.tasks import run_waiting_tasks
from shopapp.jobs.making import making_of_job
from shopapp.people.models import Member
from shopapp.plans.actions import keep_plan
from shopapp.plans.models import KeptTimetable, Plan, StepTick
from shopapp.plans.timetable import planning, searching
from shopapp.plans.timetable.actions import keep_timetable, plan_the_rest, tick
from shopapp.plans.timetable.checks import timetables_that_do_not_hold
from shopapp.plans.timetable.doing import doing_of
from shopapp.plans.timetable.doors import making_of_plan
from shopapp.plans.timetable.readers import first_look, looking, ready_line, usual_wishes
from shopapp.schedule.models import Booking, SessionException, ShopSession
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.evenings import asked, kept, kept_on_paper
from tests.support.shop import board, design_with_pattern
from tests.support.week import a_week

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def making(owner):
    a_week(owner)
    return making_of_plan(work.kept(owner).pk)


@pytest.fixture(scope="module")
def job(owner, making):
    return making_of_job(work.job(owner, making.plan).pk)


def pennant(owner) -> Plan:
    """Another plan of the same woods."""
    version = design_with_pattern(owner, name="Pennant").versions.get()
    return keep_plan(who=owner, version=version, board=board(), workshop=the_workshop())


def row(found: KeptTimetable) -> str:
    """The first row that is glued."""
    return min(planning.dry_counts_in(found.form))


def test_the_first_timetable_is_there_at_once_and_the_worker_finds_no_later_one(owner, making, monkeypatch):
    monkeypatch.setattr(searching, "SEARCH_SECONDS", 0.3)
    monkeypatch.setattr(searching, "ADVICE_SECONDS", 0.3)
    search = asked(owner, making)
    first = looking(search)
    assert first.goes_on and planning.faults_in_text(search.form) == []
    run_waiting_tasks()
    search.refresh_from_db()
    found = looking(search)
    assert search.trouble == "" and not found.goes_on and planning.faults_in_text(search.form) == []
    assert first.seen.floor <= found.seen.ready <= first.seen.ready


def test_no_step_lies_outside_the_week_s_sessions_or_in_what_of_today_is_over(owner, making):
    seen = looking(asked(owner, making)).seen
    now = timezone.localtime().replace(tzinfo=None)
    assert seen.cards
    for card in seen.cards:
        hours = ShopSession.objects.filter(weekday=card.opens.weekday())
        assert any(s.starts <= _minute(card.opens) and _minute(card.closes) <= s.ends for s in hours)
        for line in card.lines:
            assert card.opens <= line.at and line.at + timedelta(minutes=line.minutes) <= card.closes
            assert line.at > now


def _minute(at: datetime) -> int:
    return at.hour * 60 + at.minute


def test_a_shop_without_hours_or_a_row_no_jig_takes_is_refused_in_words_and_nothing_is_written(owner, making):
    ShopSession.objects.all().delete()
    with pytest.raises(PlannerError, match="Write down the hours of a week"):
        asked(owner, making)
    assert "hours of a week" in ready_line(making).trouble
    assert not KeptTimetable.objects.exists()


@pytest.mark.storage
def test_what_is_kept_books_its_evenings_which_others_leave_alone(owner, making):
    found = kept(owner, making)
    booked = Booking.objects.filter(key=making.key)
    assert booked.count() == len(planning.hands_in(found.form)) > 3
    assert timetables_that_do_not_hold() == []
    other = making_of_plan(pennant(owner).pk)
    for card in looking(asked(owner, other)).seen.cards:
        for line in card.lines:
            for one in booked.filter(on=line.at.date()):
                ends = _minute(line.at) + line.minutes
                assert ends <= one.starts or one.ends <= _minute(line.at)


@pytest.mark.storage
def test_another_that_is_kept_takes_the_evenings_of_the_one_before(owner, making):
    kept(owner, making)
    later = kept(owner, making, first=(timezone.localdate() + timedelta(days=7)).isoformat())
    spans = planning.hands_in(later.form)
    assert Booking.objects.filter(key=making.key).count() == len(spans)
    assert KeptTimetable.objects.count() == 2


@pytest.mark.storage
def test_no_kept_timetable_and_no_tick_is_ever_changed(owner, making):
    found = kept(owner, making)
    tick(who=owner, making=making, kept=found, step=row(found) + "/dry", done=True)
    for model, change in ((KeptTimetable, {"label": "Another"}), (StepTick, {"done": False})):
        with pytest.raises(IntegrityError), transaction.atomic():
            model.objects.update(**change)


@pytest.mark.storage
def test_a_row_is_ticked_once_its_pieces_were_counted_dry_and_a_tick_is_taken_back_by_another(owner, making):
    found = kept(owner, making)
    helper = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    given = {"who": helper, "making": making, "kept": found}
    with pytest.raises(PlannerError, match="not counted dry"):
        tick(step=row(found), done=True, **given)
    tick(step=row(found) + "/dry", done=True, **given)
    tick(step=row(found), done=True, **given)
    assert doing_of(making, found, timezone.localtime()).done == 1
    with pytest.raises(PlannerError, match="stands so already"):
        tick(step=row(found), done=True, **given)
    tick(step=row(found), done=False, **given)
    assert doing_of(making, found, timezone.localtime()).done == 0
    with pytest.raises(PlannerError, match="no such step"):
        tick(step="1/row/999", done=True, **given)
    assert StepTick.objects.count() == 3


def test_what_is_left_is_planned_from_what_was_ticked_and_counts_what_was_done(owner, making):
    found = kept(owner, making)
    ready = doing_of(making, found, timezone.localtime()).cards[0].lines[0]
    before = doing_of(making, found, timezone.localtime()).steps
    tick(who=owner, making=making, kept=found, step=ready.key, done=True)
    again = plan_the_rest(who=owner, making=making, kept=found)
    assert ready.key not in planning.words_of(again.form)
    assert timetables_that_do_not_hold() == []
    now = doing_of(making, again, timezone.localtime())
    assert (now.done, now.steps) == (1, before)


def test_evenings_that_went_by_without_a_tick_are_told(owner, making):
    found = kept(owner, making)
    cards = doing_of(making, found, timezone.localtime()).seen.cards
    after = timezone.make_aware(cards[1].opens - timedelta(hours=1))
    late = doing_of(making, found, after)
    assert late.behind == len(cards[0].lines) and late.cards[0].opens == cards[0].opens


def test_what_was_kept_for_a_plan_counts_for_the_job_made_of_it(owner, making, job):
    found = kept(owner, making)
    assert ready_line(job).kept == found
    tick(who=owner, making=job, kept=found, step=row(found) + "/dry", done=True)
    mine = kept(owner, job)
    assert ready_line(job).kept == mine
    assert not Booking.objects.filter(key=making.key).exists() and Booking.objects.filter(key=job.key).exists()


def test_two_boards_are_made_in_the_same_evenings(owner, making):
    other = pennant(owner)
    together = looking(asked(owner, making, together=[f"plan {other.pk}"])).seen
    alone = looking(asked(owner, making)).seen
    assert together.many_boards and together.hands_minutes > alone.hands_minutes
    with pytest.raises(PlannerError, match="not offered any more"):
        asked(owner, making, together=["plan 999999"])


def test_a_promised_day_is_wished_for_and_one_too_soon_is_told(owner, making, job):
    assert usual_wishes(job)["aim"] == "soonest"
    soon = first_look(job, {**usual_wishes(job), "due": (timezone.localdate() + timedelta(days=1)).isoformat()})
    assert soon.late and soon.ready >= soon.floor


def test_the_cards_come_on_paper_with_every_step_of_every_evening(owner, making):
    found = kept_on_paper(owner, making)
    run_waiting_tasks()
    document = StoredDocument.objects.get()
    found.paper.refresh_from_db()
    assert found.paper.document == document and document.title == f"Cards, {found.label}"


def test_pages_say_what_to_mend_and_keep_what_was_typed(owner, owner_client, making):
    address = reverse("plans:timetable", args=[making.plan.pk])
    typed = {**usual_wishes(making), "aim": "by", "due": "", "form_key": "a-key-of-a-form-12345"}
    answer = owner_client.post(address, typed)
    assert answer.status_code == 422 and "due" in answer.context["form"].errors
    assert answer.context["form"]["aim"].value() == "by"
    search = asked(owner, making)
    keep_timetable(who=owner, making=making, search=search)
    doing = reverse("plans:timetable_doing", args=[making.plan.pk])
    answer = owner_client.post(doing, {"do": "done:1/row/999", "timetable": ready_line(making).kept.pk})
    assert answer.status_code == 422 and "no such step" in answer.content.decode()


def test_as_few_evenings_as_can_be_are_no_more_than_those_of_the_earliest(owner, making, monkeypatch):
    monkeypatch.setattr(searching, "SEARCH_SECONDS", 1.0)
    search = asked(owner, making, aim="fewest")
    first = looking(search).seen
    run_waiting_tasks()
    search.refresh_from_db()
    found = looking(search).seen
    assert search.trouble == "" and found.evenings < first.evenings and found.hands_minutes == first.hands_minutes


def test_by_a_day_it_is_begun_as_late_as_can_be_and_a_day_too_soon_is_said_to_be(owner, making, monkeypatch):
    monkeypatch.setattr(searching, "SEARCH_SECONDS", 0.5)
    soonest = looking(asked(owner, making)).seen
    far, near = soonest.ready.date() + timedelta(days=14), soonest.floor.date() - timedelta(days=3)
    by_far, by_near = (asked(owner, making, aim="by", due=day.isoformat()) for day in (far, near))
    for search in (by_far, by_near):
        search.ended_at = None
        search.save()
        searching.look.func(search.pk)
        search.refresh_from_db()
        assert search.trouble == "" and planning.faults_in_text(search.form) == []
    found = looking(by_far).seen
    assert not found.late and soonest.begins < found.begins <= found.latest and found.ready.date() <= far
    assert looking(by_near).seen.late


def test_one_more_jig_is_told_as_what_was_found_with_it(owner, making, monkeypatch):
    monkeypatch.setattr(searching, "SEARCH_SECONDS", 0.3)
    search = asked(owner, making)
    run_waiting_tasks()
    search.refresh_from_db()
    told = [line for line in search.advice if line.startswith(("With ", "No sooner with "))]
    assert told == search.advice != []


def test_oil_is_wiped_and_wet_wood_dries_and_only_what_is_glued_comes_out_of_clamps(making):
    """Common practice, no source."""
    said = {line.words: line.left for card in first_look(making, usual_wishes(making)).cards for line in card.lines}
    assert said["Coat 1 of 2: lay it on"].over == "wipe from"
    assert said["Wet both faces to raise the grain"].overnight == "dries overnight"
    clamped = {words for words, left in said.items() if left.clamps}
    assert clamped and all(words.startswith(("Row", "Join", "Glue")) for words in clamped)


def test_what_outlasts_the_day_s_last_session_stays_overnight_and_nothing_comes_off_after_it(making):
    lines = [(card, line) for card in first_look(making, usual_wishes(making)).cards for line in card.lines]
    assert any(line.overnight and line.left.clamps for _, line in lines)
    assert all(line.off <= card.closes for card, line in lines if line.off)


def test_an_evening_that_another_s_booking_parts_is_one_evening(owner, making):
    before = first_look(making, usual_wishes(making))
    full = max(before.cards, key=lambda card: len(card.lines))
    glued = next(line for line in full.lines if line.left.clamps and line.off)
    at = glued.at + timedelta(minutes=glued.minutes)
    Booking.objects.create(key="another", label="Another", on=at.date(), starts=_minute(at), ends=_minute(at) + 15)
    after = first_look(making, usual_wishes(making))
    # What is in clamps when the other's time begins comes out the same evening, and is not said to stay overnight.
    parted = [line for card in after.cards for line in card.lines if line.off and line.off > card.closes]
    assert parted and not any(line.overnight for line in parted)
    assert all(line.off.date() == line.at.date() for line in parted)
    assert after.evenings == len({line.at.date() for card in after.cards for line in card.lines}) < len(after.cards)
    assert after.work_minutes == before.work_minutes <= before.hands_minutes


def test_plans_of_one_drawing_are_told_apart_by_the_number_their_papers_bear(owner, making):
    given = {"who": owner, "version": making.plan.version, "workshop": the_workshop()}
    plans = [keep_plan(board=board(**{"quantity": many}), **given) for many in (1, 2)]
    labels = {other.key: other.label for other in making.others()}
    for plan in plans:
        assert labels[f"plan {plan.pk}"].startswith(f"{plan.title}, plan {plan.pk}, kept ")


@pytest.mark.storage
def test_a_day_that_became_different_after_it_was_kept_is_told_until_the_rest_is_planned_again(owner, making):
    found = kept(owner, making)
    now = timezone.localtime()
    assert doing_of(making, found, now).gone == []
    day = doing_of(making, found, now).seen.cards[0].opens.date()
    SessionException.objects.create(first=day, last=day, reason="choir")
    assert doing_of(making, found, now).gone == [day]
    plan_the_rest(who=owner, making=making, kept=found)
    assert doing_of(making, ready_line(making).kept, now).gone == []
