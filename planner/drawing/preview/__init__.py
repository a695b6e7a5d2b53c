"""The board in real grain, as a picture: what a customer says yes to."""
