"""Answers and states drawn: every function here is pure and gives SVG text. Nothing is computed that a trade room should know."""
