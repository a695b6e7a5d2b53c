"""Pages where pieces are chosen, taken and brought back for whoever wants wood; nothing of it is understood here."""
