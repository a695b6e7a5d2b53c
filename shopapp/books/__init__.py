"""The year's books: what was sold, what it cost, what is left of it; every sum with the rows it is made of."""
