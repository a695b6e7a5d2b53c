from django.apps import AppConfig


class JobsConfig(AppConfig):
    name = "shopapp.jobs"
    verbose_name = "Jobs"

    def ready(self) -> None:
        from django.urls import reverse

        from shopapp.common.ledger import protect
        from shopapp.common.verification import register
        from shopapp.lumber.promising import over as wood_over
        from shopapp.schedule.log import homes

        from . import over, persons
        from .models import Job, JobEvent, PartEntry, TimerEntry
        from .readers import jobs_told_wrongly

        wood_over.register("job", over.became_of)
        homes.register("job", lambda pk: reverse("jobs:time", args=[pk]))
        persons.take_part()
        protect(JobEvent, but=("words",))
        protect(PartEntry, but=("why",))
        protect(TimerEntry)
        protect(Job, against=("delete",))
        register("Jobs are what their events make them, and stand behind every accepted quote", jobs_told_wrongly)
