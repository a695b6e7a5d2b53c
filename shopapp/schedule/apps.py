from django.apps import AppConfig


class ScheduleConfig(AppConfig):
    name = "shopapp.schedule"
    verbose_name = "Schedule"

    def ready(self) -> None:
        from shopapp.common import verification

        from .checks import hours_that_overlap

        verification.register("No two sessions of the shop lie over each other", hours_that_overlap)
