"""Letters by e-mail, sent by the worker through the framework's mail settings: whether they are set up, an address
read with care, and what went wrong in words."""

from __future__ import annotations

import smtplib
from collections.abc import Sequence
from dataclasses import dataclass
from email.utils import formataddr

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.mail import EmailMessage
from django.core.mail.message import BadHeaderError
from django.core.validators import validate_email

from planner.errors import PlannerError

LONGEST_ADDRESS = 254
NOT_SET_UP = (
    "Letters are not set up on this machine, so nothing is sent from here. Download the paper, make a link, and send "
    "both from your own mail or phone. KERFSTEAD_MAIL in the README says how letters are set up."
)


@dataclass(frozen=True)
class Post:
    """How letters go out: ``ready`` at all, or ``to_folder``, where they are written and not sent."""

    ready: bool
    to_folder: str = ""


def post() -> Post:
    return Post(settings.MAIL_GOES != "", str(settings.EMAIL_FILE_PATH) if settings.MAIL_GOES == "folder" else "")


class MailTrouble(PlannerError):
    """The letter did not go out; says why."""


@dataclass(frozen=True)
class Attached:
    name: str
    data: bytes
    media_type: str = "application/pdf"


def address_of(text: str) -> str:
    """One plain address. Raises ValidationError, in our words, for anything else: several, a line break, none."""
    address = text.strip()
    if any(ord(letter) < 32 or ord(letter) == 127 for letter in text):
        raise ValidationError("There is a line break in it. Write one address, such as name@example.org.")
    if "," in address or ";" in address:
        raise ValidationError("These are several addresses. Write one; send it to the next after that.")
    try:
        if len(address) > LONGEST_ADDRESS:
            raise ValidationError("too long")
        validate_email(address)
    except ValidationError as error:
        raise ValidationError("This is not an e-mail address. Write it as name@example.org.") from error
    return address


def send_letter(
    *,
    to: str,
    subject: str,
    words: str,
    shop: str,
    reply_to: str = "",
    sent_from: str = "",
    attached: Sequence[Attached] = (),
) -> None:
    """Send one letter in plain text. What stands in its heads is one line each, whatever was typed. Where the settings
    name no sender it comes from ``sent_from``, or else from whoever is answered to.

    Raises MailTrouble with words for the maker; nothing of the server's name and password is in them.
    """
    if not settings.MAIL_GOES:
        raise MailTrouble(NOT_SET_UP)
    sender = settings.DEFAULT_FROM_EMAIL or sent_from or reply_to
    if not sender:
        raise MailTrouble(
            "There is no address to send from.", mend="Write the shop’s e-mail address in the workshop’s settings."
        )
    letter = EmailMessage(
        subject=one_line(subject),
        body=words,
        from_email=formataddr((one_line(shop), address_of(sender))),
        to=[address_of(to)],
        reply_to=[address_of(reply_to)] if reply_to else None,
    )
    for one in attached:
        letter.attach(one.name, one.data, one.media_type)
    try:
        letter.send()
    except BadHeaderError as error:
        raise MailTrouble("There is a line break where none may be.", mend="Look at address and title.") from error
    except smtplib.SMTPException as error:
        raise MailTrouble(_refused(error), mend="Nothing went out. Send it again when that is mended.") from error
    except OSError as error:
        raise MailTrouble(
            f"The mail server could not be reached ({error.strerror or type(error).__name__}).",
            mend="Nothing went out. Look at the connection and at KERFSTEAD_MAIL, then send it again.",
        ) from error


def one_line(text: str) -> str:
    """What a letter's head may hold."""
    return " ".join("".join(letter if letter.isprintable() else " " for letter in text).split())


def _refused(error: smtplib.SMTPException) -> str:
    if isinstance(error, smtplib.SMTPAuthenticationError):
        return "The mail server did not take the shop’s name and password."
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        return "The mail server did not take that address."
    if isinstance(error, smtplib.SMTPSenderRefused):
        return "The mail server did not take the shop’s own address as the sender."
    if isinstance(error, smtplib.SMTPResponseException):
        return f"The mail server refused the letter (code {error.smtp_code})."
    return "The mail server ended the talk before the letter was through."
