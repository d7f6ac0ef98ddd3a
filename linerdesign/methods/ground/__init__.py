"""Loads on the ground and support by it, by published rules and tables."""
