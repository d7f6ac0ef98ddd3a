"""Resin systems side by side: thickness after floors and steps, mass, cost, and where they tie."""
