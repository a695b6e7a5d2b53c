"""Wood and what is used up, by the stock's own ledgers: what there was, what came, what went, what there is."""
