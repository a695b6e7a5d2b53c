"""What would lower a price most: every change reckoned by the same reckoning, told with what it costs."""
