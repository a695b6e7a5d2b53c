from django.apps import AppConfig


class WorkshopConfig(AppConfig):
    name = "shopapp.workshop"
    verbose_name = "Workshop"
