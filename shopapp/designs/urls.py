from django.urls import path

from . import views
from .pictures import views as pictures
from .woods import views as woods

app_name = "designs"
urlpatterns = [
    path("", views.designs, name="designs"),
    path("aside/", views.designs_aside, name="aside"),
    path("new/", pictures.bring, name="bring"),
    path("<int:pk>/", views.design, name="design"),
    path("<int:pk>/reading/", pictures.reading, name="reading"),
    path("<int:pk>/woods/", woods.woods, name="woods"),
    path("<int:pk>/woods/preview/", woods.preview, name="preview"),
    path("<int:pk>/set-aside/", views.set_aside, name="set_aside"),
]
