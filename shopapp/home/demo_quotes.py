"""Quotes of Reedbank Workshop that are not accepted: one being written with two boards to choose from, one sent and
asked about. Everything is invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from django.utils import timezone

from shopapp.people.choosing import Written
from shopapp.people.known.actions import add_person
from shopapp.people.models import Member
from shopapp.plans.models import Plan
from shopapp.quotes.actions import tell_quote
from shopapp.quotes.answering.actions import ask, make_link
from shopapp.quotes.drafts.actions import begin_draft, first_facts, make_from
from shopapp.workshop.readers import the_workshop


def fill_quotes(who: Member) -> None:
    """Of the plans that are kept: the lantern's and the kingfisher's."""
    lantern = Plan.objects.filter(design__name="Lantern on the jetty").order_by("pk").first()
    kingfisher = Plan.objects.filter(design__name="Kingfisher").order_by("pk").first()
    today, shop = timezone.localdate(), the_workshop()
    ash = add_person(who=who, written=Written("Ash Ferrow", ways=[("phone", "+353 1 555 0142")]))
    facts = first_facts(shop, [lantern, kingfisher], "Something for the ferry’s waiting room")
    begin_draft(
        who=who,
        facts=replace(facts, person=ash, wanted_by=today + timedelta(days=45)),
        plans=[lantern, kingfisher],
    )
    tilda = add_person(who=who, written=Written("Tilda Quay", ways=[("mail", "tilda@quay.example")]))
    facts = first_facts(shop, [kingfisher], "Kingfisher for the landing")
    draft = begin_draft(
        who=who,
        facts=replace(facts, person=tilda, words="For the turn of the stairs, as you drew it for us."),
        plans=[kingfisher],
    )
    quote = make_from(who=who, draft=draft, seen_version=draft.edit_version)
    tell_quote(who=who, quote=quote, kind="sent")
    link, _ = make_link(who=who, quote=quote, until=quote.valid_until)
    ask(quote=quote, link=link, words="Could the border be of a darker wood? The wall there is nearly white.")
