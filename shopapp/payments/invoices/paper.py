"""An invoice or a credit note as a tagged PDF, rendered from what was issued and from nothing else."""

from __future__ import annotations

from types import SimpleNamespace

from django.conf import settings
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from shopapp.common.paper import font_faces, pdf_of
from shopapp.payments.models import CreditNote, Invoice

from .readers import CreditView, InvoiceView


def money_pdf(row: Invoice | CreditNote) -> bytes:
    """The PDF's bytes. Raises PaperTrouble where the engine's native libraries are missing."""
    sheets = [(settings.BASE_DIR / "static" / "css" / name).read_text() for name in ("paper.css", "invoice.css")]
    is_invoice = isinstance(row, Invoice)
    context = {
        "paper": row,
        "invoice": row if is_invoice else row.invoice,
        "view": InvoiceView(row) if is_invoice else CreditView(row),
        "shop": SimpleNamespace(**row.letterhead),
        "fonts": font_faces(),
        "style": mark_safe("\n".join(sheets)),
    }
    return pdf_of(render_to_string(f"payments/{'invoice' if is_invoice else 'credit'}_paper.html", context))
