"""What was agreed when a quote was accepted, as the ledger of money is told it."""

from __future__ import annotations

from shopapp.payments.deals import Deal, DealLine, register

from .models import Quote, QuoteAnswer


def deal_of_quote(pk: int) -> Deal | None:
    """The accepted option's; nothing of a quote that was not accepted, or before answers were kept."""
    answer = QuoteAnswer.objects.filter(quote=pk, kind=QuoteAnswer.Kind.ACCEPTED).select_related(
        "quote__person", "option"
    )
    found = answer.first()
    if found is None or found.option is None:
        return None
    quote: Quote = found.quote
    line = DealLine(f"{found.option.label}, proof {quote.reference}/{found.option.place}", found.option.boards,
                    found.option.price)  # fmt: skip
    return Deal(
        key=f"quote {quote.pk}",
        label=f"{quote}: {quote.title}",
        person=quote.person,
        for_whom=quote.for_whom,
        lines=(line,),
        carriage=quote.carriage,
        tax=quote.tax,
        tax_included=quote.tax_included,
        currency_symbol=quote.currency_symbol,
        currency_exponent=quote.currency_exponent,
        deposit=quote.deposit,
        home=quote.get_absolute_url(),
    )


def take_part() -> None:
    register("quote", deal_of_quote)
