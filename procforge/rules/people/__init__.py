"""Rules of the family people."""
