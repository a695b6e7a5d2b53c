"""Cards, labels and tags; their names are among those of the listings."""

from django.urls import path

from . import views

urlpatterns = [
    path("words/", views.words, name="card_words"),
    path("papers/<int:paper_pk>/", views.paper, name="card_paper"),
    path("papers/<int:paper_pk>/state/", views.paper_state, name="card_paper_state"),
    path("papers/<int:paper_pk>/paper.pdf", views.paper_pdf, name="card_paper_pdf"),
    path("<slug:paper_kind>/", views.ask, name="cards"),
]
