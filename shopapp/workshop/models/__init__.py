"""The workshop's row with its fees, and what it glues, clamps and finishes with."""

from .materials import Adhesive, ClampKind, Finish, RowJig
from .settings import Fee, Workshop

__all__ = ["Adhesive", "ClampKind", "Fee", "Finish", "RowJig", "Workshop"]
