"""Rules of the family assembly."""
