from django.apps import AppConfig


class WorkshopConfig(AppConfig):
    name = "shopapp.workshop"
    verbose_name = "Workshop"

    def ready(self) -> None:
        from shopapp.common import ledger

        from .models import Adhesive, ClampKind, Finish, RowJig

        for model in (Adhesive, ClampKind, Finish, RowJig):
            ledger.protect(model, against=("delete",))
