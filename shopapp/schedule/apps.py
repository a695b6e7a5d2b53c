from django.apps import AppConfig


class ScheduleConfig(AppConfig):
    name = "shopapp.schedule"
    verbose_name = "Schedule"

    def ready(self) -> None:
        from shopapp.common import verification
        from shopapp.common.ledger import protect

        from .checks import hours_that_overlap
        from .log.checks import entries_that_make_no_sense
        from .models import TimeEntry

        verification.register("No two sessions of the shop lie over each other", hours_that_overlap)
        protect(TimeEntry)
        verification.register("The time log can be read and mends only what came before", entries_that_make_no_sense)
