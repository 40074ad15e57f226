"""Turns the YAML records in knowledge/ into a cross-linked, searchable, offline site."""
