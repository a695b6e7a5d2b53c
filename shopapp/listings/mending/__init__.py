"""What was written down of money by mistake is taken back by another entry, and written anew; one way for all."""
