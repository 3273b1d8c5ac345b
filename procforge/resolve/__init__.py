"""Nodes to models: files that use each other, names, places, models and services, quantities."""
