from django.apps import AppConfig


class QuotesConfig(AppConfig):
    name = "shopapp.quotes"
    verbose_name = "Quotes"

    def ready(self) -> None:
        from shopapp.common.ledger import protect
        from shopapp.common.verification import register

        from .models import Quote, QuoteEvent
        from .readers import quotes_told_wrongly

        protect(Quote)
        protect(QuoteEvent)
        register("Every quote is told from its making to one end at most", quotes_told_wrongly)
