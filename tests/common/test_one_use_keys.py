"""A form sent twice does its work once, and of two who edit at once the second is told."""

from __future__ import annotations

import secrets
import threading

import pytest
from django.db import connection, transaction

from shopapp.common.actions import AlreadySent, EditConflict, spend_key, was_spent
from shopapp.common.models import SpentKey
from shopapp.workshop.actions import change_settings
from shopapp.workshop.models import Workshop


@pytest.mark.django_db
@pytest.mark.storage
def test_a_key_is_spent_once(db):
    key = secrets.token_urlsafe(24)
    assert not was_spent(key)
    spend_key(key)
    assert was_spent(key)
    with pytest.raises(AlreadySent):
        spend_key(key)


@pytest.mark.django_db
@pytest.mark.parametrize("key", ["", "short", "x" * 200, "with spaces in it, long enough", "x" * 30 + "\0"])
@pytest.mark.storage
def test_what_is_no_key_is_refused(key):
    assert not was_spent(key)
    with pytest.raises(AlreadySent):
        spend_key(key)


@pytest.mark.django_db(transaction=True)
@pytest.mark.storage
def test_of_eight_sent_at_once_one_does_the_work():
    key = secrets.token_urlsafe(24)
    won, lost = [], []

    def send() -> None:
        try:
            with transaction.atomic():
                spend_key(key)
            won.append(1)
        except AlreadySent:
            lost.append(1)
        finally:
            connection.close()

    threads = [threading.Thread(target=send) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (len(won), len(lost)) == (1, 7)
    assert SpentKey.objects.count() == 1


@pytest.mark.django_db
@pytest.mark.storage
def test_the_second_of_two_editors_is_told_and_changes_nothing(owner):
    change_settings(who=owner, title="Names", changes={"name": "First"}, seen_version=0)
    seen = Workshop.objects.get().edit_version
    change_settings(who=owner, title="Names", changes={"name": "Second"}, seen_version=seen)
    with pytest.raises(EditConflict):
        change_settings(who=owner, title="Names", changes={"name": "Third"}, seen_version=seen)
    assert Workshop.objects.get().name == "Second"


@pytest.mark.django_db
def test_a_failed_action_leaves_the_key_unspent(owner):
    key = secrets.token_urlsafe(24)
    with pytest.raises(EditConflict):
        change_settings(who=owner, title="N", changes={}, seen_version=7, spend=lambda: spend_key(key))
    spend_key(key)
