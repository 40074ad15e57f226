"""Computed tables and how their cells come about."""
