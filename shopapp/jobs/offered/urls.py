from django.urls import path

from . import views

app_name = "offered"
urlpatterns = [
    path("<str:token>/", views.offer, name="offer"),
    path("<str:token>/board-<int:place>.jpg", views.picture, name="picture"),
    path("<str:token>/quote.pdf", views.pdf, name="pdf"),
    # What was copied in part or with something after it is told what a link is told that opens nothing.
    path("<path:rest>", views.nowhere, name="nowhere"),
]
