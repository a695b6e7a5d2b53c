from django.urls import path

from . import views

app_name = "common"
urlpatterns = [
    path("healthz", views.healthz, name="healthz"),
    path("pictures/<int:pk>.png", views.image, name="image"),
]
