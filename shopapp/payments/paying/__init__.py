"""What came in for an invoice, what was given back, and entries that were wrong."""
