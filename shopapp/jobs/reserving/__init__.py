"""Wood for a job that begins with a quote: free boards that serve are reserved, what is missing is told."""
