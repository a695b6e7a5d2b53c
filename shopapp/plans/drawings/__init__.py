"""Working drawings of a kept plan on a page, each to be taken away as a file: what is laid, cut, glued and paid for."""
