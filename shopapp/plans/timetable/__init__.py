"""When a board is made around real evenings: looked for, kept, ticked at the bench, and on paper."""
