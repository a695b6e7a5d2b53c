"""A board is reckoned with the maker's own times as soon as work is done; what is kept stays as it was kept."""

from __future__ import annotations

import json
from fractions import Fraction

from django.template.loader import render_to_string
from django.urls import reverse

from shopapp.plans.actions import keep_plan
from shopapp.plans.models import Plan
from shopapp.plans.readers import RecordView
from shopapp.plans.timing import timed_of
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.log import write
from tests.support.shop import board


def hours(client, plan) -> dict:
    page = client.get(reverse("plans:reckoning", args=[plan.design_id]))
    return page.context["view"].figures


def test_the_next_reckoning_and_the_next_plan_go_by_the_log_and_a_kept_plan_never_changes(owner, owner_client):
    plan = work.kept(owner)
    before = hours(owner_client, plan)
    assert before["hours_careful"]["source"] == "no job of yours is logged yet"
    # Half as long again as thought, and half of it still under way: nothing is learned yet.
    half = round(Fraction(plan.record["figures"]["hours"]["value"][1]) * 45)
    write(owner, timed_of(plan), "whole", half)
    assert hours(owner_client, plan)["hours"] == before["hours"]
    write(owner, timed_of(plan), "whole", half, finishes=True)
    after = hours(owner_client, plan)
    assert after["hours_careful"]["source"] == "from 1 job of yours"
    slower = Fraction(after["hours"]["value"][1]) / Fraction(before["hours"]["value"][1])
    assert Fraction(14, 10) < slower < Fraction(15, 10)
    # The price rests on the likely hours, so it is dearer, and one job makes the careful hours less wide.
    assert Fraction(after["price"]["value"][1]) > Fraction(before["price"]["value"][1])
    wide, narrow = (
        Fraction(found["hours_careful"]["value"][1]) / Fraction(found["hours"]["value"][1]) for found in (before, after)
    )
    assert 1 < narrow < wide
    again = keep_plan(who=owner, version=plan.version, board=board(), workshop=the_workshop())
    assert again.record["figures"]["hours"] == after["hours"]
    assert json.loads(again.inputs)["sure"]["jobs"] == 1
    kept = Plan.objects.get(pk=plan.pk)
    assert kept.record["figures"]["hours"] == before["hours"] and kept.matches_its_hash
    assert "No job of yours is logged yet." in owner_client.get(plan.get_absolute_url()).content.decode()


def test_a_record_of_before_without_careful_hours_is_shown_without_them(owner, owner_client):
    plan = work.kept(owner)
    figures = {name: one for name, one in plan.record["figures"].items() if name != "hours_careful"}
    old = {**plan.record, "figures": figures}
    del old["operations"]
    shown = render_to_string("plans/_figures.html", {"view": RecordView(old, plan.title, "mm"), "shop": the_workshop()})
    assert "Hours, likely" in shown and "Hours, careful" not in shown
