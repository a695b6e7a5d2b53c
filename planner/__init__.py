"""The arithmetic of picture boards, pure: values in, frozen dataclasses out. No Django, clock, files or network.

The route of the work, and where each rule of the trade is:

    picture bytes -> picture/       decode within limits, read the grid, set the background aside
    colours       -> matching       a wood for every colour
    Pattern       -> pattern        the grid of woods: counts, runs, turns, text and PNG forms
    Build         -> build/         pieces with places and stage sizes, joints, seams, counts
    Lumber        -> cutting/       spares, strips, rough lengths
    Hours         -> hours          standard times by counts
    Price         -> pricing        cost lines, fees, tax, margin, what an hour earned
    all of it     -> reckoning      the route in one call; record: its JSON form
    on paper      -> drawing/       pattern, board and planks as SVG

Beside the route: measures (exact lengths, reading and printing), figures (a number with its sum), woods
(published properties with sources), shop (kerfs, allowances, safe limits), errors.
"""
