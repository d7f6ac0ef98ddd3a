"""Installed samples against the design: the owner's rule, and every equation as built."""
