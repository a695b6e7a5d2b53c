from django.apps import AppConfig


class DesignsConfig(AppConfig):
    name = "shopapp.designs"
    verbose_name = "Designs"
