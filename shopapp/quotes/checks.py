"""For `manage.py verify`: quotes are told from their making to one end, and their figures are what was kept."""

from __future__ import annotations

import json

from .figures import faults_in, hash_of
from .models import Quote, QuoteEvent

Kind = QuoteEvent.Kind


def quotes_told_wrongly() -> list[str]:
    """Quotes without a beginning, or with more than one end."""
    told: dict[int, list[str]] = {pk: [] for pk in Quote.objects.values_list("pk", flat=True)}
    for quote, kind in QuoteEvent.objects.order_by("pk").values_list("quote_id", "kind"):
        told[quote].append(kind)
    faults = []
    for pk, kinds in told.items():
        if kinds[:1] != [Kind.MADE]:
            faults.append(f"Quote {pk} does not begin with its making.")
        if sum(kind in QuoteEvent.ENDS for kind in kinds) > 1:
            faults.append(f"Quote {pk} ends more than once.")
    return faults


def figures_that_are_not_as_kept() -> list[str]:
    """Figures that do not match their hash, sums that do not add up, options that are not those the figures are of,
    or whose plans are not as they were. Quotes made before figures were kept have none."""
    faults = []
    for quote in Quote.objects.exclude(figures="").prefetch_related("options__plan").iterator(chunk_size=20):
        if hash_of(quote.figures) != quote.figures_sha256:
            faults.append(f"{quote}: its figures do not match their hash.")
            continue
        figures = json.loads(quote.figures)
        faults += [f"{quote}, {words}" for words in faults_in(figures)]
        kept = [(one["place"], one["plan"], one["boards"]) for one in figures["options"]]
        there = [(one.place, one.plan.sha256, one.boards) for one in quote.options.all()]
        if kept != there:
            faults.append(f"{quote}: its options are not those its figures are of.")
        faults += [
            f"{quote}: the plan of option {one.place} does not match its hash."
            for one in quote.options.all()
            if not one.plan.matches_its_hash
        ]
    return faults
