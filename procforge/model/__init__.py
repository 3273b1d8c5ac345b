"""Frozen models of a machine and of a procedure, after all names are resolved."""
