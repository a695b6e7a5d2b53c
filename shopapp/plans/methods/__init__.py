"""Every way a board could be built, side by side: as it is reckoned, and as it was compared when its plan was kept."""
