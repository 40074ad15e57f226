"""From pages to a finished site, and from the site to what is given away."""
