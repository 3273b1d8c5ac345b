"""Rules of the family energy."""
