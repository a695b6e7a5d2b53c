"""All invoices, what is owed and for how long, and both as tables."""
