"""What the short pieces on the rack could become: which kept plans they give, and which pieces to fetch."""
