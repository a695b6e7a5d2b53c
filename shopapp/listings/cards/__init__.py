"""What goes with a piece on paper: its care card, its label, its price tag."""
