"""Which board gives which strip: wishes, the search while it runs, and the sheets kept of it."""
