"""What a finished piece cost to make: its share of its job's cost, written down once and put right by differences."""
