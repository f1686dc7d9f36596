"""Lifting: slings, blocks, pulls, the bundle's lift and insertion, and the parts lifted on their own."""
