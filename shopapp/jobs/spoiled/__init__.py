"""Parts that were spoiled or are wanted besides a job's plan, and what has to be cut again because of them."""
