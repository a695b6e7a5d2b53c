"""Photos of a piece: brought, read by the worker, put in order, one chosen."""
