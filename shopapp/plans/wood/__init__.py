"""What a plan says of its wood: how it moves, what it weighs, what is used up with it, what to mind at each step."""
