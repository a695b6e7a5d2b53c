"""For every query in an order Django tells its columns apart, each by what its class was called with, and binds that to
the signature of the class: a fifth of the time a query takes to be put in words. Here the same is put together at
once."""

from __future__ import annotations

from typing import Any


def told_apart_at_once(patch: Any) -> None:
    from django.contrib.auth.models import Group
    from django.db.models.expressions import Col, Expression
    from django.utils.functional import cached_property

    in_full = Expression.__dict__["identity"].func

    def at_once(column: Any) -> tuple:
        arguments, named = column._constructor_args
        if named or len(arguments) not in (2, 3):
            return in_full(column)
        alias, target, output = (*arguments, None)[:3]
        told = column._identity
        return type(column), ("alias", alias), ("target", told(target)), ("output_field", told(output))

    field = Group._meta.get_field("name")
    for column in (Col("one", field), Col("one", field, field), Col(None, Group._meta.pk, None)):
        assert at_once(column) == in_full(column), "Django tells columns apart by something else now"
    identity = cached_property(at_once)
    identity.__set_name__(Col, "identity")
    patch.setattr(Col, "identity", identity, raising=False)
