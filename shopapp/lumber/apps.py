from django.apps import AppConfig


class LumberConfig(AppConfig):
    name = "shopapp.lumber"
    verbose_name = "Lumber"
