"""Mutation testing of our own code: small changes, one at a time, each of which some test should notice."""
