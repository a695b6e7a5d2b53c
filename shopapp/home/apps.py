from django.apps import AppConfig


class HomeConfig(AppConfig):
    name = "shopapp.home"
    verbose_name = "Home"
