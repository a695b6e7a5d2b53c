"""Cuts ticked on the cut plan and steps ticked in the evenings: each is told what the other says of them."""
