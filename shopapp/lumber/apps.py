from django.apps import AppConfig


class LumberConfig(AppConfig):
    name = "shopapp.lumber"
    verbose_name = "Lumber"

    def ready(self) -> None:
        from shopapp.common import ledger, verification
        from shopapp.common.images import keep_incoming_of
        from shopapp.common.tidying import register

        from .colours.actions import tidy_photos
        from .colours.readers import faults_of_colours, photos_awaited
        from .models import WoodColour

        ledger.protect(WoodColour)
        keep_incoming_of(photos_awaited)
        register(tidy_photos)
        verification.register("Every wood is shown in the newest of its colours", faults_of_colours)
