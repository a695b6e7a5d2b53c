"""What lies open to everybody once the shop's page is switched on."""

from django.urls import path

from . import visitors

app_name = "shop"
urlpatterns = [
    path("", visitors.shop, name="shop"),
    path("asked/", visitors.asked, name="asked"),
    path("<int:number>/", visitors.piece, name="piece"),
    path("<int:number>/photo-<int:picture_pk>-<int:width>.jpg", visitors.photo, name="photo"),
    path("<path:rest>", visitors.nowhere, name="nowhere"),
]
