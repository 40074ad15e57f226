"""The knowledge base as data for other programs."""
