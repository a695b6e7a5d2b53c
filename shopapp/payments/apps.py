from django.apps import AppConfig


class PaymentsConfig(AppConfig):
    name = "shopapp.payments"
    verbose_name = "Money owed and paid"

    def ready(self) -> None:
        from shopapp.common.ledger import protect

        from .models import Account, AccountEvent, CreditNote, Invoice, InvoiceLine, Payment, TakenOff

        # What an erasure may take away, once papers about money need not be kept any longer.
        protect(Account, but=("for_whom",))
        protect(AccountEvent, but=("words",))
        protect(Invoice, but=("for_whom", "address"))
        protect(CreditNote, but=("for_whom", "address"))
        protect(Payment, but=("note",))
        for model in (InvoiceLine, TakenOff):
            protect(model)
