from django.urls import path

from . import views
from .answering.urls import urlpatterns as answering
from .drafts import views as drafts

app_name = "quotes"
urlpatterns = [
    path("", views.quotes, name="quotes"),
    path("new/", drafts.begin, name="begin"),
    path("new/<int:plan_pk>/", drafts.begin_from_plan, name="new"),
    path("from/<int:design_pk>/", drafts.begin_from_design, name="from_design"),
    path("drafts/<int:draft_pk>/", drafts.draft, name="draft"),
    path("drafts/<int:draft_pk>/add/", drafts.add, name="add"),
    path("drafts/<int:draft_pk>/at-price/<int:option_pk>/", drafts.at_price, name="at_price"),
    path("drafts/<int:draft_pk>/ready/", drafts.ready, name="ready"),
    path("drafts/<int:draft_pk>/look/", drafts.look, name="look"),
    path("drafts/<int:draft_pk>/aside/", drafts.aside, name="aside"),
    path("<int:pk>/", views.quote, name="quote"),
    path("<int:pk>/anew/", drafts.anew, name="anew"),
    path("<int:pk>/tell/", views.tell, name="tell"),
    path("<int:pk>/paper/", views.paper, name="paper"),
    path("<int:pk>/paper/state/", views.paper_state, name="paper_state"),
    path("<int:pk>/quote.pdf", views.pdf, name="pdf"),
    *answering,
]
