from django.urls import path

from . import views
from .answering.urls import urlpatterns as answering

app_name = "quotes"
urlpatterns = [
    path("", views.quotes, name="quotes"),
    path("new/<int:plan_pk>/", views.new, name="new"),
    path("<int:pk>/", views.quote, name="quote"),
    path("<int:pk>/tell/", views.tell, name="tell"),
    path("<int:pk>/paper/", views.paper, name="paper"),
    path("<int:pk>/paper/state/", views.paper_state, name="paper_state"),
    path("<int:pk>/quote.pdf", views.pdf, name="pdf"),
    *answering,
]
