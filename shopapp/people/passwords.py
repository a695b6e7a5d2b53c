"""What a password must be, refused in the shop's own words."""

from __future__ import annotations

from django.contrib.auth import password_validation


class LongEnough(password_validation.MinimumLengthValidator):
    def get_error_message(self) -> str:
        return f"This is shorter than {self.min_length} characters. Put a few words together."


class NotCommon(password_validation.CommonPasswordValidator):
    def get_error_message(self) -> str:
        return "This is among the first that are guessed. Put a few words of your own together."


class NotOnesName(password_validation.UserAttributeSimilarityValidator):
    def get_error_message(self) -> str:
        return "This is nearly your own name. Choose words that do not tell who you are."
