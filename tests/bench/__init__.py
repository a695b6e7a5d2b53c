"""Speeds, printed as ratios side by side in one run; run by hand, never asserted."""

import os

# One thread of linear algebra, as in the shop's background work; it counts only before NumPy is first imported.
for _name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")
