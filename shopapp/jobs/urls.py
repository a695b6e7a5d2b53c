from django.urls import path

from . import views

app_name = "jobs"
urlpatterns = [
    path("", views.jobs, name="jobs"),
    path("new/", views.new, name="new"),
    path("accept/<int:quote_pk>/", views.accept, name="accept"),
    path("<int:pk>/", views.job, name="job"),
    path("<int:pk>/change/", views.change, name="change"),
    path("<int:pk>/move/", views.move, name="move"),
    path("<int:pk>/wood/", views.wood, name="wood"),
    path("<int:pk>/wood/<slug:out>/back/", views.back, name="back"),
]
