"""Changes to who may sign in."""

from __future__ import annotations

import secrets
from collections.abc import Callable

from django.db import transaction

from shopapp.common.actions import write_audit

from .models import Member

# Short plain words of the shop. Five of them with two digits each are over 59 bits.
_WORDS = [
    "alder",
    "ash",
    "beech",
    "birch",
    "board",
    "burl",
    "cedar",
    "chisel",
    "clamp",
    "elm",
    "fence",
    "gauge",
    "glue",
    "grain",
    "hazel",
    "jig",
    "joint",
    "kerf",
    "larch",
    "lath",
    "maple",
    "mitre",
    "oak",
    "oil",
    "peg",
    "plane",
    "plank",
    "rasp",
    "reed",
    "ring",
    "rule",
    "saw",
    "seam",
    "shaving",
    "sled",
    "stop",
    "strip",
    "teasel",
    "tide",
    "tile",
]


def new_password() -> str:
    """A password one can type from a slip of paper: five words and two digits each."""
    return "-".join(f"{secrets.choice(_WORDS)}{secrets.randbelow(100):02d}" for _ in range(5))


def first_owner(name: str) -> str | None:
    """Create the owner when nobody may sign in yet; returns the password, shown once, or None."""
    with transaction.atomic():
        if Member.objects.exists():
            return None
        password = new_password()
        owner = Member.objects.create_user(name, password=password, role=Member.Role.OWNER)
        write_audit(None, f"{name} was made the owner.", owner)
    return password


def change_password(*, who: Member, password: str, spend: Callable[[], None] = lambda: None) -> Member:
    """One's own new password; whether it is good enough, and the old one right, the form has asked."""
    with transaction.atomic():
        spend()
        who.set_password(password)
        who.save(update_fields=["password"])
        write_audit(who, f"{who.username} chose a new password.", who)
    return who


def reset_owner_password(name: str | None = None) -> tuple[str, str] | None:
    """A new password for the owner (the first one unless named); returns name and password."""
    with transaction.atomic():
        owners = Member.objects.select_for_update().filter(role=Member.Role.OWNER)
        owner = (owners.filter(username=name) if name else owners.order_by("pk")).first()
        if owner is None:
            return None
        password = new_password()
        owner.set_password(password)
        owner.is_active = True
        owner.save()
        write_audit(None, f"{owner.username} got a new password at the machine itself.", owner)
    return owner.username, password
