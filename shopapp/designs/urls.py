from django.urls import path

from . import views

app_name = "designs"
urlpatterns = [
    path("", views.designs, name="designs"),
    path("aside/", views.designs_aside, name="aside"),
    path("new/", views.bring, name="bring"),
    path("<int:pk>/", views.design, name="design"),
    path("<int:pk>/reading/", views.reading, name="reading"),
    path("<int:pk>/preview/", views.preview, name="preview"),
    path("<int:pk>/set-aside/", views.set_aside, name="set_aside"),
]
