"""The pages of a cut plan: a first plan at once, the search, its end, the sheet that was kept."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from shopapp.common.tasks import run_waiting_tasks
from shopapp.plans.models import CutSearch, CutSheet
from tests.support.cutting import plan_and_rack

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
    assert "The saw’s set-ups" in words and "Goes back to the rack" in words
    assert owner_client.get(reverse("plans:cut_sheet", args=[plan.pk, sheet.pk])).status_code == 200
