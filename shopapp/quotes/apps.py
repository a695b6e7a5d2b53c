from django.apps import AppConfig


class QuotesConfig(AppConfig):
    name = "shopapp.quotes"
    verbose_name = "Quotes"

    def ready(self) -> None:
        from shopapp.common.ledger import protect
        from shopapp.common.verification import register

        from . import deals, persons
        from .answering import persons as answers
        from .answering.readers import answers_told_wrongly
        from .checks import figures_that_are_not_as_kept, quotes_told_wrongly
        from .models import Quote, QuoteAnswer, QuoteEvent, QuoteOption, QuoteWord

        # What tells of answers first: it strikes the names that stand in quotes, which these take away.
        answers.take_part()
        persons.take_part()
        deals.take_part()
        # What an erasure may take away: who it was for, what was written to them and what they wrote. Who of the book
        # that is may be said later.
        protect(Quote, but=("for_whom", "words", "person", *persons.TYPED))
        protect(QuoteOption, but=("label",))
        protect(QuoteEvent, but=("words",))
        protect(QuoteAnswer, but=("name", "shown"))
        protect(QuoteWord, but=("words",))
        register("Every quote is told from its making to one end at most", quotes_told_wrongly)
        register("Every answer is told by its quote's events and is what was shown", answers_told_wrongly)
        register("Every quote's figures match their hash and add up", figures_that_are_not_as_kept)
