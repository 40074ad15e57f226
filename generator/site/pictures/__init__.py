"""Pictures: drawn from the knowledge base as inline SVG, each with a text that says the same."""
