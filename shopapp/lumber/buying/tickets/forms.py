"""A photo of a ticket as it is sent."""

from __future__ import annotations

from django import forms

from shopapp.common.forms import ShopForm


class TicketForm(ShopForm):
    photo = forms.FileField(
        label="A photo of the ticket",
        help_text="PNG, JPEG, GIF or WebP, up to 12 MB and 16 million pixels. Several may be brought, one by one.",
        widget=forms.FileInput(attrs={"accept": "image/png,image/jpeg,image/gif,image/webp"}),
        error_messages={"required": "Choose a photo."},
    )
