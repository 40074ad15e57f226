"""What the YAML files hold: read, typed, joined, linked."""
