from django.apps import AppConfig


class PaymentsConfig(AppConfig):
    name = "shopapp.payments"
    verbose_name = "Money owed and paid"

    def ready(self) -> None:
        from shopapp.common.ledger import protect
        from shopapp.common.verification import register

        from . import checks
        from .models import Account, AccountEvent, CreditNote, Invoice, InvoiceLine, Payment, TakenOff
        from .persons import take_part

        # What an erasure may take away, once papers about money need not be kept any longer.
        protect(Account, but=("for_whom", "label", "lines"))
        protect(AccountEvent, but=("words",))
        protect(Invoice, but=("for_whom", "address", "words"))
        protect(InvoiceLine, but=("words",))
        protect(TakenOff)
        protect(CreditNote, but=("for_whom", "address", "words"))
        protect(Payment, but=("note",))
        take_part()
        register("Invoices and credit notes are numbered without gaps", checks.numbers_with_gaps)
        register("Every invoice is the sum of its lines", checks.sums_that_are_not_their_lines)
        register("What is credited, paid and given back adds up", checks.balances_that_cannot_be)
        register("Every invoice and credit note has its paper", checks.papers_that_are_missing)
