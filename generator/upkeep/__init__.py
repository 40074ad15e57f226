"""What the workshop lead does to the records: new ones, reviews, editions."""
