from django.apps import AppConfig


class CommonConfig(AppConfig):
    name = "shopapp.common"
    verbose_name = "Common ground"

    def ready(self) -> None:
        from django.db.models.signals import post_migrate

        from . import erasing, ledger, tidying
        from .models import AuditLine, StoredDocument, StoredImage, TakenAway

        for model in (StoredImage, TakenAway):
            ledger.protect(model)
        # What an erasure may take away: a name told of, and what a paper was called.
        ledger.protect(AuditLine, but=("what",))
        ledger.protect(StoredDocument, but=("title",))
        tidying.register(erasing.finish_taking_away)
        # A table rebuild on SQLite drops triggers without a word, so they are laid again after every migrate.
        # Once a migrate, which tells of each app when all of them have their tables.
        post_migrate.connect(ledger.lay_triggers, sender=self, dispatch_uid="lay ledger triggers")
