from django.urls import path

from . import views

app_name = "home"
urlpatterns = [
    path("", views.start, name="start"),
    path("health/", views.health, name="health"),
    path("own-shop/", views.own_shop, name="own_shop"),
]
