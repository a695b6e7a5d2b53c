"""A year's end as a tagged PDF: frozen as it stands, made by the worker, opened."""
