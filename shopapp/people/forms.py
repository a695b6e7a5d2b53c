"""Signing in, with a throttle by name and by address, and changing one's password."""

from __future__ import annotations

from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm

from shopapp.common.forms import ShopForm, speak_our_words
from shopapp.common.throttle import allow, client_address

TRIES = 8
ONE_MORE_EVERY = 60
TOO_MANY = "Too many tries. Wait a few minutes, then try again."


class SignInForm(AuthenticationForm):
    error_messages = {
        "invalid_login": "That name and password do not belong together. Check both; capital letters count.",
        "inactive": "This name may not sign in any more.",
    }

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **{"label_suffix": "", **kwargs})
        speak_our_words(self.fields)
        self.fields["username"].label = "Name"
        self.fields["username"].error_messages["required"] = "Write your name."
        self.fields["password"].error_messages["required"] = "Write your password."

    def clean(self) -> dict:
        name = self.cleaned_data.get("username", "").lower()
        address = client_address(self.request)
        by_name = allow(f"sign-in name {name}", capacity=TRIES, refill_seconds=ONE_MORE_EVERY)
        by_address = allow(f"sign-in address {address}", capacity=3 * TRIES, refill_seconds=ONE_MORE_EVERY / 3)
        if not (by_name and by_address):
            raise forms.ValidationError(TOO_MANY, code="throttled")
        return super().clean()

    def summary(self) -> list[dict[str, str]]:
        return [{"id": "id_username", "label": "", "message": words} for words in self.non_field_errors()] + [
            {"id": field.id_for_label, "label": field.label, "message": words}
            for field in self
            for words in field.errors
        ]


class NewPasswordForm(ShopForm, PasswordChangeForm):
    error_messages = {
        "password_incorrect": "This is not your password now. Check it; capital letters count.",
        "password_mismatch": "This is not the same as the one above. Type both once more.",
    }

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["old_password"].label = "Password now"
        self.fields["new_password1"].label = "New password"
        self.fields["new_password1"].help_text = "At least 12 characters; a few words are easiest to keep."
        self.fields["new_password2"].label = "New password once more"
        self.fields["new_password2"].help_text = ""

    def clean_old_password(self) -> str:
        # Who sits down at a screen left open must not guess at leisure either.
        if not allow(f"password of {self.user.pk}", capacity=TRIES, refill_seconds=ONE_MORE_EVERY):
            raise forms.ValidationError(TOO_MANY, code="throttled")
        return super().clean_old_password()
