"""One module per kind of page."""
