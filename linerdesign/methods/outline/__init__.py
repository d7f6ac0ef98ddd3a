"""Hosts of any shape: their outline, the loads on a liner in them, and what the ring finds."""
