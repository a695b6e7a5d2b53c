"""What visitors of the shop's page ask: taken without a session, told to the maker by the worker, answered or set
aside; whoever asked may be taken into the book, and a quote begun from it."""
