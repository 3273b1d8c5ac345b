"""The site profile: what a site sets once for all its sheets, in a small file found upward from the procedure."""
