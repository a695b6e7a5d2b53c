"""The page a private link opens: a quote as its customer reads, asks about and answers it, without an account."""
