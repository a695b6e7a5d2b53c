"""What visitors ask about: a public piece on an open page of a shop that sends letters."""

from __future__ import annotations

import pytest
from django.core import mail

from shopapp.people.models import Member
from shopapp.workshop.models import Workshop
from tests.support import visitors, work


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="x", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def heron(owner):
    Workshop.objects.update_or_create(pk=1, defaults={"name": "Reedbank Workshop", "mail": visitors.MAKER})
    visitors.open_shop()
    return visitors.shown(owner, work.listing(owner, visitors.finished(owner), title="Heron"))


@pytest.fixture
def posted(settings):
    settings.MAIL_GOES = "server"
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    settings.DEFAULT_FROM_EMAIL = ""
    return mail.outbox
