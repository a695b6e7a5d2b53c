from django.apps import AppConfig


class BooksConfig(AppConfig):
    name = "shopapp.books"
    verbose_name = "Books"
