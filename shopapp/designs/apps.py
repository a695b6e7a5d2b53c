from django.apps import AppConfig


class DesignsConfig(AppConfig):
    name = "shopapp.designs"
    verbose_name = "Designs"

    def ready(self) -> None:
        from shopapp.common import ledger
        from shopapp.common.tidying import register

        from .models import KeptGrid, PatternVersion, RightsAnswer
        from .pictures.actions import tidy_readings

        for model in (KeptGrid, RightsAnswer):
            ledger.protect(model)
        ledger.protect(PatternVersion, but=("name",))
        register(tidy_readings)
