"""Rules of the family words."""
