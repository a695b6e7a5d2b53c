"""Sales written down by hand, and the page of whatever money is owed for."""
