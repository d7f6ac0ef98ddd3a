"""Rechecking a submitted calculation: where it differs, and the slip that makes it differ."""
