"""A delivery, or a whole rack, out of a spreadsheet: read line by line, looked at, and booked whole or not at all."""
