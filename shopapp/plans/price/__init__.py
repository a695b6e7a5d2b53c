"""The price of a kept plan, and of a job made of it: where each unit of it goes, what any other price would do."""
