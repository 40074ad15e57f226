"""What a reader sees: pages, pictures, and the data of the page scripts."""
