"""Quantities, formulas, workings, findings and sources. Knows no trade."""
