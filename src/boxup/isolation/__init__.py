"""Isolation: blinds in and out, small bore, the relief path. Counted in, counted out."""
