"""What suits what, and why."""
