"""Many jobs at once: the register of a turnaround, one row an exchanger, and what is ordered for all of them."""
