"""The shop book: one paper of a kept plan that hangs on the wall, from the cover to the notes."""
