from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "shopapp.people"
    verbose_name = "People"

    def ready(self) -> None:
        from shopapp.common.ledger import protect
        from shopapp.common.verification import register

        from .known.erasing import erased_wrongly
        from .known.part import take_part
        from .models import Erasure, Person

        protect(Erasure)
        protect(Person, against=("delete",))
        take_part()
        register("Of whoever was erased a day and a hash are left, and everybody else is found", erased_wrongly)
