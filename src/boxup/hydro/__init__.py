"""Pressure tests: which, in which order, at what pressure; the water; what trapped air, warming and the wall do; leaks; stored energy."""
