"""Sheets to carry: the job pack as PDF. Every sheet stands alone and reads from a bad photocopy."""
