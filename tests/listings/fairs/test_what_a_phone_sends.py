"""What is sold at a fair on a phone is written once, though it is sent twice, days later, or of a piece that was sold
at home meanwhile."""

from __future__ import annotations

import secrets
from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.listings.fairs.readers import clashes, sold_there, there
from shopapp.listings.fairs.sending import read_sent
from shopapp.listings.models import Channel, Piece, Sale
from shopapp.people.models import Member
from tests.support.fairs import fair, packed, tapped
from tests.support.pieces import sold, told_wrongly


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def harbour(owner):
    return fair(owner)


@pytest.fixture(scope="module")
def heron(owner, harbour):
    return packed(owner, harbour, "Heron")[0]


def sent(client, owner, harbour, heron, **more):
    given = {"kind": "sale", "fair": harbour.pk, "piece": heron.pk, "price": "180", "how": "cash", "who": owner.pk,
             "sale": secrets.token_hex(16), "form_key": secrets.token_hex(16)}  # fmt: skip
    return client.post(reverse("listings:fair_send"), {**given, **more})


def test_a_sale_is_written_once_though_it_is_sent_twice(owner, owner_client, harbour, heron):
    body = {"form_key": secrets.token_hex(16), "sale": secrets.token_hex(16)}
    first, second = (sent(owner_client, owner, harbour, heron, **body).json() for _ in range(2))
    assert (first["state"], second["state"]) == ("written", "already")
    sale = Sale.objects.get()
    assert (sale.price, sale.how, sale.fair, sale.key) == (Decimal(180), "cash", harbour, body["sale"])
    # The same sale with another key of its form, as after a store that was put back, is the same sale too.
    assert sent(owner_client, owner, harbour, heron, sale=body["sale"]).json()["state"] == "written"
    assert Sale.objects.count() == 1 and told_wrongly() == []


def test_a_sale_is_of_the_day_it_was_tapped_on(owner, owner_client, harbour, heron):
    two_days_ago = timezone.now() - timedelta(days=2)
    sent(owner_client, owner, harbour, heron, at=str(int(two_days_ago.timestamp() * 1000)))
    assert Sale.objects.get().on == timezone.localdate(two_days_ago)
    old = timezone.now() - timedelta(days=100)
    refused = sent(owner_client, owner, harbour, heron, at=str(int(old.timestamp() * 1000)))
    assert refused.status_code == 422 and "more than three months ago" in refused.json()["words"]


def test_what_was_sold_at_home_meanwhile_is_written_beside_it(owner, owner_client, harbour, heron):
    at_home = sold(owner, heron, "240")
    answer = sent(owner_client, owner, harbour, heron).json()
    assert answer["state"] == "written" and "one of the two has to give way" in answer["words"]
    heron.refresh_from_db()
    assert heron.sale == at_home and Sale.objects.count() == 2
    assert [clash.stands for clash in clashes(harbour)] == [at_home]
    page = owner_client.get(reverse("listings:fair_till", args=[harbour.pk])).content.decode()
    assert "was sold twice" in page and "Whoever bought it here" in page


def test_two_phones_at_one_fair_that_sell_one_piece_are_told_of_both(owner, harbour, heron):
    tapped(owner, harbour, heron, "180", key="one")
    assert "It was gone already" in tapped(owner, harbour, heron, "170", key="two")
    assert [len(clash.sales) for clash in clashes(harbour)] == [2]


def test_the_last_sale_is_taken_back_by_an_entry_and_the_piece_stands_there_again(owner, harbour, heron):
    tapped(owner, harbour, heron, key="one")
    assert sold_there(harbour) and not there(harbour).exists()
    assert "is taken back" in tapped(owner, harbour, heron, kind="undo", key="one")
    heron.refresh_from_db()
    assert (heron.where, heron.sale, list(there(harbour)), sold_there(harbour)) == ("fair", None, [heron], [])
    assert Sale.objects.get().changes.get().kind == "mistake" and told_wrongly() == []
    # Sent again, or of a sale that was never written: nothing more is done.
    assert "over already" in tapped(owner, harbour, heron, kind="undo", key="one")
    assert "never written down" in tapped(owner, harbour, heron, kind="undo", key="never")
    tapped(owner, harbour, heron, "150", key="three")
    assert Piece.objects.get(pk=heron.pk).sale.price == Decimal(150)


def test_one_that_came_too_late_is_taken_back_and_the_other_stands(owner, harbour, heron):
    at_home = sold(owner, heron, "240")
    tapped(owner, harbour, heron, key="late")
    tapped(owner, harbour, heron, kind="undo", key="late")
    heron.refresh_from_db()
    assert (heron.sale, heron.where, clashes(harbour)) == (at_home, "sold", []) and told_wrongly() == []


def test_fees_of_fairs_are_taken_where_there_is_a_channel_for_them(owner, harbour, heron):
    Channel.objects.create(name="Fairs", kind="fair", own_fees=True, percent=Decimal("0.1"))
    tapped(owner, harbour, heron, "180")
    assert Sale.objects.get().expenses.get().amount == Decimal(18)


def test_what_another_signed_in_did_waits_for_them(owner, owner_client, harbour, heron):
    other = Member.objects.create_user("wim", password="x", role=Member.Role.OWNER)
    answer = sent(owner_client, owner, harbour, heron, who=other.pk)
    assert answer.status_code == 409 and "wim" in answer.json()["words"] and not Sale.objects.exists()


@pytest.mark.parametrize(
    "odd",
    [{"price": ""}, {"price": "0"}, {"price": "1e9"}, {"price": "a lot"}, {"price": "1" * 30}, {"piece": "999999"},
     {"piece": "x"}, {"fair": "999999"}, {"fair": "9" * 40}, {"how": "barter"}, {"kind": "gift"}, {"sale": ""},
     {"sale": "a b"}, {"sale": "a\x00b"}, {"form_key": ""}, {"price": "1\x00"}],
)  # fmt: skip
def test_odd_things_are_refused_in_words_and_write_nothing(owner, owner_client, harbour, heron, odd):
    answer = sent(owner_client, owner, harbour, heron, **odd)
    assert answer.status_code == 422 and answer.json()["words"] and not Sale.objects.exists()


def test_the_page_sells_without_scripts_too(owner, owner_client, harbour, heron):
    page = reverse("listings:fair_till", args=[harbour.pk])
    asked = owner_client.get(f"{page}?piece={heron.pk}").content.decode()
    assert f'name="piece" value="{heron.pk}"' in asked
    typed = {"kind": "sale", "piece": heron.pk, "price": "x", "how": "cash"}
    wrong = owner_client.post(page, {**typed, "form_key": secrets.token_urlsafe(24)})
    assert wrong.status_code == 422 and 'value="x"' in wrong.content.decode()
    owner_client.post(page, {**typed, "price": "175", "form_key": secrets.token_urlsafe(24)})
    sale = Sale.objects.get()
    assert sale.price == Decimal(175)
    owner_client.post(page, {"kind": "undo", "sale": sale.key, "form_key": secrets.token_urlsafe(24)})
    assert list(there(harbour)) == [heron]


def test_the_page_for_when_the_machine_is_away_has_nothing_of_the_shop_on_it(owner, owner_client, harbour, heron):
    page = owner_client.get(reverse("listings:fair_away")).content.decode()
    assert "Heron" not in page and "Harbour" not in page and "€" not in page and "csrf" not in page
    worker = owner_client.get(reverse("listings:fair_worker"))
    assert reverse("listings:fair_away") in worker.content.decode() and worker.headers["Cache-Control"] == "no-cache"


def test_a_clock_that_is_ahead_is_taken_as_now(owner, harbour, heron):
    tomorrow = int((timezone.now() + timedelta(days=1)).timestamp() * 1000)
    given = {"kind": "undo", "fair": str(harbour.pk), "sale": "one", "at": str(tomorrow)}
    assert read_sent(given, timezone.now()).at <= timezone.now() + timedelta(seconds=1)
    with pytest.raises(PlannerError, match="no such fair"):
        read_sent({**given, "fair": "0"}, timezone.now())
