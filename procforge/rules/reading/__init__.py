"""Rules that are found while the text is read and names are resolved."""
