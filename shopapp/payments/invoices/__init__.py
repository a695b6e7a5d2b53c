"""Invoices and credit notes: written from what was agreed, numbered, issued for good, put on paper."""
