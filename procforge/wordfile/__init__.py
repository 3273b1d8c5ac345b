"""What writing and reading back a Word file share: opening one safely, its manifest, the digest of its frame."""
