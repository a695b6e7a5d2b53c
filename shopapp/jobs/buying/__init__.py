"""What to buy for chosen jobs and kept plans, and what the offcuts of their cut plans become."""
