"""From a kept cut plan to the rack: boards taken, cuts reported at the bench, offcuts brought back, the balance."""
