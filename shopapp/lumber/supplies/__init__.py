"""Glue, abrasives, oil and the like: bought, used and counted, at the moving average of what they cost."""
