"""A private link opens one thing until a day or until it is revoked; its token is kept nowhere and never logged."""

from __future__ import annotations

import hashlib
import logging
from datetime import UTC, date, datetime, timedelta

import pytest
from django.conf import settings
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shopapp.common import links
from shopapp.common.logs import TokensLeftOut, without_tokens
from shopapp.common.models import AuditLine, PrivateLink

pytestmark = pytest.mark.django_db


def made(subject: str = "quote 1", hours: float = 1) -> tuple[PrivateLink, str]:
    return links.make(who=None, subject=subject, until=timezone.now() + timedelta(hours=hours))


def test_a_token_has_256_bits_and_only_its_hash_is_kept_anywhere():
    link, token = made()
    # 32 bytes in base 64 without its filling are 43 letters (RFC 4648, section 5).
    assert len(token) == 43 and links.TOKEN_BYTES * 8 == 256
    assert link.sha256 == hashlib.sha256(token.encode()).hexdigest()
    kept = [str(value) for row in PrivateLink.objects.values_list() for value in row]
    kept += AuditLine.objects.values_list("what", flat=True)
    assert not any(token in text or token[:12] in text for text in kept)


def test_a_link_is_found_by_its_token_alone():
    link, token = made()
    other, _ = made("quote 2")
    assert links.find(token) == link
    for wrong in (
        "",
        token[:-1],
        token + "A",
        token.swapcase(),
        link.sha256,
        other.sha256,
        str(link.pk),
        "\ud800",
        "é",
    ):
        assert links.find(wrong) is None


def test_expired_revoked_and_unknown_take_one_query_each_like_one_that_opens(django_assert_num_queries):
    _, opens = made()
    _, late = made(hours=-1)
    gone, revoked = made()
    assert links.revoke(who=None, link=gone) and not links.revoke(who=None, link=gone)
    asked = []
    for token in (opens, late, revoked, "x" * 43):
        with django_assert_num_queries(1) as taken:
            found = links.find(token)
        asked.append((found is not None, taken.captured_queries[0]["sql"].split("WHERE")[0]))
    assert [found for found, _ in asked] == [True, False, False, False]
    assert len({sql for _, sql in asked}) == 1


def test_what_is_looked_up_is_the_hash_so_that_no_comparison_tells_how_far_a_guess_was_right():
    from django.db import connection

    _, token = made()
    with CaptureQueriesContext(connection) as taken:
        links.find(token)
    assert token not in taken[0]["sql"] and links.hash_of(token) in taken[0]["sql"]


def test_a_link_opens_until_the_day_is_over_where_the_shop_is():
    """A day ends at midnight of the shop's own clock, also where the clocks are changed on it."""
    with timezone.override("Europe/Dublin"):
        # On 25 October 2026 the clocks there go back an hour (the last Sunday of October, EU directive 2000/84/EC).
        ends = links.end_of(date(2026, 10, 25))
        assert ends == datetime(2026, 10, 26, 0, 0, tzinfo=UTC)
        assert links.end_of(date(2026, 7, 1)) == datetime(2026, 7, 1, 23, 0, tzinfo=UTC)
        _, token = links.make(who=None, subject="quote 1", until=ends)
        assert links.find(token, ends - timedelta(microseconds=1)) is not None
        assert links.find(token, ends) is None


def test_a_link_that_is_kept_open_is_never_closed_earlier_by_it():
    link, _ = made(hours=48)
    links.keep_open(link, timezone.now() + timedelta(hours=1))
    link.refresh_from_db()
    assert link.expires_at > timezone.now() + timedelta(hours=47)
    links.keep_open(link, timezone.now() + timedelta(hours=72))
    link.refresh_from_db()
    assert link.expires_at > timezone.now() + timedelta(hours=71)


@pytest.mark.parametrize(
    "said",
    [
        "Not Found: /offer/{token}/",
        "Internal Server Error: /offer/{token}/quote.pdf",
        '"GET /offer/{token}/board-1.jpg?width=480 HTTP/1.1" 200',
        "Forbidden: https://boards.example.org/offer/{token}",
        "next=%2Foffer%2F{token}",
    ],
)
def test_a_token_never_stands_in_the_log(said):
    _, token = made()
    line = said.format(token=token)
    assert token not in without_tokens(line) and "offer" in without_tokens(line)
    record = logging.LogRecord("django.request", logging.WARNING, "x.py", 1, "%s", (line,), None)
    assert token not in TokensLeftOut().format(record)


def test_everything_that_is_logged_goes_through_what_leaves_tokens_out():
    logging_settings = settings.LOGGING
    for name, handler in logging_settings["handlers"].items():
        assert logging_settings["formatters"][handler["formatter"]]["()"].endswith("TokensLeftOut"), name
    assert not logging.getLogger("django").handlers and logging.getLogger("django").propagate
