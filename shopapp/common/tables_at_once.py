"""Making many tables, or adding many fields, in one step of a migration."""

from __future__ import annotations

from django.db.migrations.operations import CreateModel
from django.db.migrations.operations.base import Operation, OperationCategory
from django.db.migrations.state import ProjectState
from django.db.models import Field


class CreateModels(Operation):
    """All of ``models``, which may name each other in any order.

    One after another, each new model would have every one it is related to drawn up anew, which for this shop's tables
    takes several times as long as everything else.
    """

    category = OperationCategory.ADDITION
    serialization_expand_args = ["models"]

    def __init__(self, models: list[CreateModel]) -> None:
        self.models = models

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        # What was drawn up without them is drawn up once more when it is asked for, with all of them.
        state.__dict__.pop("apps", None)
        for model in self.models:
            model.state_forwards(app_label, state)

    def database_forwards(self, app_label, schema_editor, from_state, to_state) -> None:
        for model in self.models:
            model.database_forwards(app_label, schema_editor, from_state, to_state)

    def database_backwards(self, app_label, schema_editor, from_state, to_state) -> None:
        for model in reversed(self.models):
            model.database_backwards(app_label, schema_editor, from_state, to_state)

    def describe(self) -> str:
        return f"Create {len(self.models)} models"


class AddFields(Operation):
    """All of ``fields``, each with the name of its model and its own.

    One after another, each new field would have every model drawn up anew that its own is related to, nearly all there
    are.
    """

    category = OperationCategory.ADDITION
    reversible = True
    serialization_expand_args = ["fields"]

    def __init__(self, fields: list[tuple[str, str, Field]]) -> None:
        self.fields = fields

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        drawn_up = state.__dict__.pop("apps", None)
        for model, name, field in self.fields:
            state.add_field(app_label, model.lower(), name, field, preserve_default=True)
        if drawn_up is not None:
            state.apps = drawn_up
            related = any(field.is_relation for _, _, field in self.fields)
            state.reload_models({(app_label, model.lower()) for model, _, _ in self.fields}, delay=not related)

    def database_forwards(self, app_label, schema_editor, from_state, to_state) -> None:
        for model, name, _ in self.fields:
            before, after = (state.apps.get_model(app_label, model) for state in (from_state, to_state))
            if self.allow_migrate_model(schema_editor.connection.alias, after):
                field = after._meta.get_field(name)
                schema_editor.add_field(before, field)
                # A table that is made anew for the next field has this one already.
                before._meta.add_field(field)

    def database_backwards(self, app_label, schema_editor, from_state, to_state) -> None:
        for model, name, _ in reversed(self.fields):
            before = from_state.apps.get_model(app_label, model)
            if self.allow_migrate_model(schema_editor.connection.alias, before):
                field = before._meta.get_field(name)
                schema_editor.remove_field(before, field)
                # A table that is made anew for the next field has this one no more.
                before._meta.local_fields.remove(field)
                before._meta._expire_cache()

    def describe(self) -> str:
        return f"Add {len(self.fields)} fields"
