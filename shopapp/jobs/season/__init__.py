"""All jobs in hand seen together: by date, whether each is in time, and what would mend it."""
