"""Pictures on small grids, ways of damaging them, and the measure of how well a reader finds the grid again.

`truths` holds the pictures, `painters` draws most of them, `degrade` makes files of them as makers find them, `judge`
says whether a reading is right. `python -m tests.bench.reading` prints the rates.
"""
