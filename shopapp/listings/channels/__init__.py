"""The ways pieces are sold, what each takes of a sale, and what is offered through it."""
