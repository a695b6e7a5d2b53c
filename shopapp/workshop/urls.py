from django.urls import path

from . import views
from .gluing import views as gluing

app_name = "workshop"
urlpatterns = [
    path("", views.settings, name="settings"),
    path("gluing/", gluing.gluing, name="gluing"),
    path("gluing/<slug:kind>/add/", gluing.add, name="add_material"),
    path("gluing/<slug:kind>/<int:material_pk>/", gluing.change, name="material"),
    path("<slug:key>/", views.section, name="section"),
]
