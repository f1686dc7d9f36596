"""Repair: what was found on the parts, held against its limits. The verdict is a person's."""
