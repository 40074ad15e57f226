"""Quantities, formulas, and the one value that counts for a property."""
