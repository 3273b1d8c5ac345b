"""Renderers: one package or module for each file format."""
