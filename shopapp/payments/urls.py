from django.urls import path

from .invoices import views as invoices
from .lists import views as lists
from .paying import views as paying
from .sales import views as sales

app_name = "payments"
urlpatterns = [
    path("", lists.invoices, name="invoices"),
    path("owed/", lists.owed, name="owed"),
    path("<int:year>/invoices.csv", lists.invoices_csv, name="invoices_csv"),
    path("<int:year>/payments.csv", lists.payments_csv, name="payments_csv"),
    path("sale/", sales.sale, name="sale"),
    path("owed/<int:account_pk>/", sales.account, name="account"),
    path("owed/<int:account_pk>/call-off/", sales.call_off, name="call_off"),
    path("new/", invoices.new, name="new"),
    path("<int:pk>/", invoices.invoice, name="invoice"),
    path("<int:pk>/paper/", invoices.paper, name="paper"),
    path("<int:pk>/paper/state/", invoices.paper_state, name="paper_state"),
    path("<int:pk>/invoice.pdf", invoices.pdf, name="pdf"),
    path("<int:pk>/credit/", invoices.credit, name="credit"),
    path("credit/<int:credit_pk>/", invoices.credit_note, name="credit_note"),
    path("credit/<int:credit_pk>/paper/", invoices.credit_paper, name="credit_paper"),
    path("credit/<int:credit_pk>/paper/state/", invoices.credit_paper_state, name="credit_paper_state"),
    path("credit/<int:credit_pk>/credit-note.pdf", invoices.credit_pdf, name="credit_pdf"),
    path("<int:pk>/pay/", paying.pay, name="pay"),
    path("<int:pk>/give-back/", paying.give_back, name="give_back"),
    path("paid/<int:payment_pk>/take-back/", paying.take_back, name="take_back"),
]
