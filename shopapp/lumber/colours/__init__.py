"""A wood's own colour: a photo of an oiled piece beside a card, the places tapped in it, and the colours kept."""
