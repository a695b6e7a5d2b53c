from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "shopapp.people"
    verbose_name = "People"
