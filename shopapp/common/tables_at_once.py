"""Making many tables in one step of a migration."""

from __future__ import annotations

from django.db.migrations.operations import CreateModel
from django.db.migrations.operations.base import Operation, OperationCategory
from django.db.migrations.state import ProjectState


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
