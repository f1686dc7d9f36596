"""Boxup: putting a shell-and-tube exchanger back together, in order, with numbers and proof."""
