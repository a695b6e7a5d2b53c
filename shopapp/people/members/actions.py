"""Who may sign in: the owner lets helpers in, and stops them."""

from __future__ import annotations

from collections.abc import Callable

from django.db import IntegrityError, transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.people.actions import new_password
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

Spend = Callable[[], None]


class NameTaken(PlannerError):
    """Somebody signs in by that name already."""


def add_helper(*, who: Member | None, name: str, spend: Spend = lambda: None) -> tuple[Member, str]:
    """Let a helper in; returns them and their password, which nobody can read afterwards. Raises NameTaken."""
    owner_only(who)
    password = new_password()
    with transaction.atomic():
        spend()
        taken = NameTaken(f"Somebody signs in as {name} already.", mend="Choose another name.", field="name")
        # "Joss" and "joss" would be taken for one another.
        if Member.objects.filter(username__iexact=name).exists():
            raise taken
        try:
            with transaction.atomic():
                helper = Member.objects.create_user(name, password=password, role=Member.Role.HELPER)
        except IntegrityError as error:
            raise taken from error
        write_audit(who, f"{name} may sign in as a helper.", helper)
    return helper, password


def let_in(*, who: Member | None, helper: Member, may: bool, spend: Spend = lambda: None) -> Member:
    """Stop a helper's sign-in, which ends their sessions with the next page they ask for, or let them in again."""
    owner_only(who)
    with transaction.atomic():
        spend()
        helper = _a_helper(helper)
        helper.is_active = may
        helper.save(update_fields=["is_active"])
        write_audit(who, f"{helper.username} may {'sign in again' if may else 'not sign in any more'}.", helper)
    return helper


def give_password(*, who: Member | None, helper: Member, spend: Spend = lambda: None) -> tuple[Member, str]:
    """A new password in place of a helper's; it ends every session begun with the old one."""
    owner_only(who)
    password = new_password()
    with transaction.atomic():
        spend()
        helper = _a_helper(helper)
        helper.set_password(password)
        helper.save(update_fields=["password"])
        write_audit(who, f"{helper.username} was given a new password.", helper)
    return helper, password


def _a_helper(member: Member) -> Member:
    """Owners look after themselves: the last of them must not be locked out from here."""
    member = Member.objects.select_for_update().get(pk=member.pk)
    if member.is_owner:
        raise PlannerError(
            f"{member.username} is an owner.", mend="An owner’s password is made anew at the machine itself."
        )
    return member
