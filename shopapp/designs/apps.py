from django.apps import AppConfig


class DesignsConfig(AppConfig):
    name = "shopapp.designs"
    verbose_name = "Designs"

    def ready(self) -> None:
        from shopapp.common.tidying import register

        from .pictures.actions import tidy_readings

        register(tidy_readings)
