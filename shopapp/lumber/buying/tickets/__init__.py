"""Photos of a delivery's ticket: brought on its page, copied by the worker, shown to the owner only."""
