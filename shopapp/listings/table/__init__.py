"""All that is listed as a table for spreadsheets: a line a listing, in plain columns."""
