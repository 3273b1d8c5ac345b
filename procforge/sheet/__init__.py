"""The format-neutral sheet: what is on the paper, before any file format."""
