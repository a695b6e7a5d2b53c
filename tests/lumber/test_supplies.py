"""Glue, abrasives and oil are in the book: what came, what was used at its average cost, what was counted."""

from __future__ import annotations

import secrets
from datetime import date
from decimal import Decimal
from threading import Barrier, Thread

import pytest
from django.db import DatabaseError, connection, transaction
from django.urls import reverse

from planner.errors import PlannerError
from shopapp.common.models import AuditLine
from shopapp.lumber.models import Supply, SupplyEntry
from shopapp.lumber.supplies import actions
from shopapp.lumber.supplies.checks import supplies_that_are_not_their_entries
from tests.support.rack import supplier

D = Decimal
DAY = date(2026, 3, 2)


def glue(**changes) -> Supply:
    return Supply.objects.create(**{"name": "Hide glue", "kind": "glue", "unit": "ml", **changes})


def bought(who, row: Supply, amount: str, cost: str) -> SupplyEntry:
    return actions.buy_supply(who=who, supply=row, amount=D(amount), cost=D(cost), on=DAY)


def used(who, row: Supply, amount: str) -> SupplyEntry:
    return actions.use_supply(who=who, supply=row, amount=D(amount), on=DAY)


def worth_by_plain_sql(row: Supply) -> Decimal:
    with connection.cursor() as cursor:
        cursor.execute("SELECT SUM(worth) FROM lumber_supplyentry WHERE supply_id = %s", [row.pk])
        return D(str(cursor.fetchone()[0])).quantize(D("0.01"))


@pytest.mark.storage
def test_twelve_of_twenty_bought_at_eight_and_eleven_take_114_with_them(owner):
    # Weighted average, IAS 2 paragraph 27; 190.00 / 20 = 9.50, worked out by hand.
    row = glue()
    bought(owner, row, "10", "80.00")
    bought(owner, row, "10", "110.00")
    entry = used(owner, row, "12")
    row.refresh_from_db()
    assert (entry.worth, row.amount, row.worth) == (D("-114.00"), D(8), D("76.00"))
    assert worth_by_plain_sql(row) == D("76.00") and supplies_that_are_not_their_entries() == []


@pytest.mark.storage
def test_an_entry_is_undone_by_another_with_the_worth_it_carried(owner):
    row = glue()
    bought(owner, row, "3", "10.00")
    entry = used(owner, row, "1")
    bought(owner, row, "1", "9.00")
    actions.undo_supply_entry(who=owner, entry=entry)
    row.refresh_from_db()
    assert (row.amount, row.worth) == (D(4), D("19.00"))
    with pytest.raises(PlannerError, match="undone already"):
        actions.undo_supply_entry(who=owner, entry=entry)
    assert supplies_that_are_not_their_entries() == []


@pytest.mark.storage
def test_a_purchase_that_was_used_since_is_not_undone(owner):
    row = glue()
    entry = bought(owner, row, "3", "10.00")
    used(owner, row, "2")
    with pytest.raises(PlannerError, match="was used since"):
        actions.undo_supply_entry(who=owner, entry=entry)
    assert SupplyEntry.objects.count() == 2


@pytest.mark.storage
def test_an_entry_is_never_changed_nor_a_consumable_deleted(owner):
    row = glue()
    bought(owner, row, "3", "10.00")
    with pytest.raises(DatabaseError), transaction.atomic():
        SupplyEntry.objects.update(worth=0)
    with pytest.raises(DatabaseError), transaction.atomic():
        SupplyEntry.objects.all()._raw_delete("default")
    with pytest.raises(DatabaseError), transaction.atomic():
        Supply.objects.all()._raw_delete("default")


@pytest.mark.storage
@pytest.mark.django_db(transaction=True)
def test_two_who_use_the_last_litre_at_once_do_not_both_have_it(owner):
    row = glue(unit="l")
    bought(owner, row, "1", "12.00")
    start, said = Barrier(2), []

    def take() -> None:
        start.wait()
        try:
            used(owner, row, "1")
            said.append("used")
        except PlannerError as error:
            said.append(str(error))
        finally:
            connection.close()

    both = [Thread(target=take) for _ in range(2)]
    for one in both:
        one.start()
    for one in both:
        one.join()
    assert sorted(word == "used" for word in said) == [False, True]
    row.refresh_from_db()
    assert (row.amount, row.worth) == (0, 0) and supplies_that_are_not_their_entries() == []


def test_a_book_that_was_meddled_with_is_told_of(owner):
    row = glue()
    bought(owner, row, "3", "10.00")
    Supply.objects.filter(pk=row.pk).update(amount=D(2))
    (fault,) = supplies_that_are_not_their_entries()
    assert "Hide glue" in fault


# --- on the pages -------------------------------------------------------------------------------------------


def typed(**values) -> dict[str, str]:
    return {"form_key": secrets.token_urlsafe(24), "on": "2026-03-02", **values}


def test_glue_is_added_bought_used_counted_and_undone(owner_client):
    answer = owner_client.post(
        reverse("lumber:add_supply"), typed(name="Hide glue", kind="glue", unit="ml", low="200", place="shelf")
    )
    row = Supply.objects.get()
    assert answer.status_code == 302 and row.low == 200

    def act(name: str, **values):
        return owner_client.post(reverse("lumber:supply_act", args=[row.pk, name]), typed(**values), follow=True)

    assert "500 ml of Hide glue bought." in act("buy", amount="500", cost="12.50").content.decode()
    assert "350 ml of Hide glue used." in act("use", amount="350").content.decode()
    body = owner_client.get(row.get_absolute_url()).content.decode()
    assert "Time to buy" in body and "3.75" in body
    assert "Time to buy" in owner_client.get(reverse("lumber:supplies")).content.decode()
    body = act("count", amount="100").content.decode()
    assert "100 ml of Hide glue counted; the book had 150 ml." in body
    newest = row.entries.first()
    undo = {"entry": newest.pk, "form_key": secrets.token_urlsafe(24)}
    owner_client.post(reverse("lumber:supply_undo", args=[row.pk]), undo)
    owner_client.post(reverse("lumber:supply_undo", args=[row.pk]), undo)
    row.refresh_from_db()
    assert (row.amount, row.worth, row.entries.count()) == (D(150), D("3.75"), 4)
    assert AuditLine.objects.filter(what="350 ml of Hide glue used.").count() == 1


def test_a_second_press_writes_nothing(owner_client, owner):
    row = glue()
    bought(owner, row, "3", "10.00")
    twice = typed(amount="1")
    for _ in range(2):
        assert owner_client.post(reverse("lumber:supply_act", args=[row.pk, "use"]), twice).status_code == 302
    assert row.entries.count() == 2


@pytest.mark.parametrize(
    ("act", "values", "field", "words"),
    [
        ("use", {"amount": "4"}, "amount", "Only 3 is held"),
        ("use", {"amount": "0"}, "amount", "Nothing was used"),
        ("use", {"amount": "1,234"}, "amount", ""),
        ("use", {"amount": "a cup"}, "amount", ""),
        ("use", {"amount": "1.0001"}, "amount", "too many decimals"),
        ("use", {"amount": "1", "on": "2126-01-01"}, "on", "no day of this book"),
        ("use", {"amount": "1", "on": "once"}, "on", ""),
        ("buy", {"amount": "1", "cost": "0"}, "cost", "tick that it was a gift"),
        ("buy", {"amount": "1", "cost": ""}, "cost", ""),
        ("buy", {"amount": "0", "cost": "5"}, "amount", "Nothing was bought"),
        ("buy", {"amount": "999999999", "cost": "5"}, "__all__", "more than this book can hold"),
        ("count", {"amount": "-1"}, "amount", ""),
    ],
)
def test_what_cannot_be_is_said_and_kept_and_changes_nothing(owner_client, owner, act, values, field, words):
    row = glue()
    bought(owner, row, "3", "10.00")
    answer = owner_client.post(reverse("lumber:supply_act", args=[row.pk, act]), typed(**values))
    assert answer.status_code == 422
    form = answer.context["sent"]
    assert words in form.errors[field][0]
    assert form["amount"].value() == values["amount"]
    assert row.entries.count() == 1


def test_a_gift_costs_nothing_when_it_is_said_to_be_one(owner_client):
    row = glue()
    owner_client.post(reverse("lumber:supply_act", args=[row.pk, "buy"]), typed(amount="5", cost="0", gift="on"))
    row.refresh_from_db()
    assert (row.amount, row.worth) == (D(5), D(0))


def test_a_helper_uses_and_counts_but_sees_no_worth_and_buys_nothing(helper_client, owner):
    row = glue(low=D(1))
    bought(owner, row, "3", "10.37")
    for address in (reverse("lumber:supplies"), row.get_absolute_url()):
        body = helper_client.get(address).content.decode()
        assert "Hide glue" in body and "10.37" not in body and "€" not in body
    assert helper_client.post(reverse("lumber:supply_act", args=[row.pk, "use"]), typed(amount="1")).status_code == 302
    buying = reverse("lumber:supply_act", args=[row.pk, "buy"])
    assert helper_client.post(buying, typed(amount="1", cost="1")).status_code == 403
    assert helper_client.get(reverse("lumber:add_supply")).status_code == 403


def test_two_who_change_a_name_at_once_see_one_another(owner_client):
    row = glue()
    address = reverse("lumber:change_supply", args=[row.pk])
    first = typed(name="Bone glue", kind="glue", kept="on", edit_version=row.edit_version)
    second = typed(name="Fish glue", kind="glue", kept="on", edit_version=row.edit_version)
    assert owner_client.post(address, first).status_code == 302
    answer = owner_client.post(address, second)
    assert answer.status_code == 409 and "Bone glue" in answer.content.decode()
    row.refresh_from_db()
    assert row.name == "Bone glue"


def test_two_consumables_never_share_a_name(owner_client):
    glue()
    answer = owner_client.post(reverse("lumber:add_supply"), typed(name="HIDE glue", kind="glue", unit="ml"))
    assert "is in the book already" in answer.context["form"].errors["name"][0]


def test_who_bought_from_whom_is_told(owner):
    seller = supplier()
    row = glue()
    entry = actions.buy_supply(who=owner, supply=row, amount=D(1), cost=D(1), on=DAY, supplier=seller)
    assert entry.words == "1 ml of Hide glue bought from Millrace Yard."
