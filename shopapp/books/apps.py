from django.apps import AppConfig


class BooksConfig(AppConfig):
    name = "shopapp.books"
    verbose_name = "Books"

    def ready(self) -> None:
        from .onpaper.part import take_part

        take_part()
