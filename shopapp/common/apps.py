from django.apps import AppConfig


class CommonConfig(AppConfig):
    name = "shopapp.common"
    verbose_name = "Common ground"

    def ready(self) -> None:
        from django.db.models.signals import post_migrate

        from . import ledger
        from .models import AuditLine, StoredDocument, StoredImage

        for model in (AuditLine, StoredImage, StoredDocument):
            ledger.protect(model)
        # A table rebuild on SQLite drops triggers without a word, so they are laid again after every migrate.
        post_migrate.connect(ledger.lay_triggers, dispatch_uid="lay ledger triggers")
