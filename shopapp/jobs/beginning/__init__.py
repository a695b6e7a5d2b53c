"""A job is begun: the wood it takes from the rack, all of it or nothing, is shown before the press."""
