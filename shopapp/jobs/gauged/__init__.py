"""Sizes as made: what was gauged of a job's tiles takes the plan's size's place wherever a later size is shown."""
