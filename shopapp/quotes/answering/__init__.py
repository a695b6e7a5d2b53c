"""How a quote reaches a customer and comes back: links, letters, questions, and the answer that stands."""
