"""One page at the bench for all started jobs together: what to do tonight, what is in clamps, the row being laid."""
