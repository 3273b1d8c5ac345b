"""The rules: one file each, by family; their docstrings are their pages. `registry.RULES` is the ordered tuple."""
