"""From pages to a finished site, and from the site to the copies that are given away."""
