"""A gift is handed over in person unless its job says otherwise; the carrier's days count for what is sent alone."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.urls import reverse

from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job
from shopapp.jobs.season import planning
from shopapp.plans.timetable.actions import plan_the_rest
from shopapp.plans.timetable.planning import Opened, goes_by_carrier
from shopapp.plans.timetable.readers import gets_there_otherwise
from shopapp.workshop.readers import the_workshop
from tests.support import season, work
from tests.support.evenings import kept
from tests.support.week import a_week, on_the_wall

FIRST = date(2026, 11, 30)


@pytest.mark.parametrize(
    ("kind", "way", "by_hand"),
    [
        ("gift", "", True),
        ("gift", "carrier", False),
        ("commission", "", False),
        ("commission", "hand", True),
        ("sale", "", False),
        ("repair", "", False),
    ],
)
def test_a_gift_is_handed_over_in_person_and_all_else_is_sent_unless_it_is_said(kind, way, by_hand):
    assert Job(kind=kind, way=way).by_hand is by_hand


def test_the_carrier_s_days_count_for_what_is_sent_alone_and_dates_follow_what_is_said(owner, owner_client):
    a_week(owner), on_the_wall(owner)
    job = work.job(owner, work.kept(owner), for_whom="Robin")
    in_person = kept(owner, making_of_job(job.pk))
    assert not goes_by_carrier(in_person.form)
    address = reverse("jobs:change", args=[job.pk])
    typed = {"label": "Flag", "kind": "gift", "for_whom": "Robin", "plan": job.plan_id, "way": "carrier"}
    given = {**typed, "edit_version": job.edit_version, "form_key": secrets.token_urlsafe(24)}
    assert owner_client.post(address, given).status_code == 302
    job.refresh_from_db()
    assert job.events.first().words.endswith("It goes by carrier now.")
    assert "<dt>Gets there</dt><dd>by carrier</dd>" in owner_client.get(job.get_absolute_url()).content.decode()
    # The timetable that was kept before says so, until the rest is planned again.
    making = making_of_job(job.pk)
    card = reverse("jobs:timetable_doing", args=[job.pk])
    for page in (making.here, card):
        assert "It goes by carrier now" in owner_client.get(page).content.decode()
    sent = plan_the_rest(who=owner, making=making, kept=in_person)
    days = the_workshop().carrier_days
    assert days > 0 and goes_by_carrier(sent.form) and gets_there_otherwise(making, sent) == ""
    later = Opened.of(sent.form).timetable.finish - Opened.of(in_person.form).timetable.finish
    # Whoever has it in the hand waits for the cure, which a carrier's days outlast or lie within.
    assert timedelta(0) < later * timedelta(minutes=5) <= timedelta(days=days)


def test_in_a_season_a_board_that_is_handed_over_in_person_is_there_sooner_than_one_that_is_sent(owner):
    shop = season.shop_from(FIRST)
    (one,) = season.boards_due(work.kept(owner), [None])
    sent, by_hand = (planning.plan([replace(one, by_hand=way)], shop).finishes[one.pk] for way in (False, True))
    days = timedelta(minutes=5) * (sent - by_hand)
    assert timedelta(0) < days <= timedelta(days=the_workshop().carrier_days)
