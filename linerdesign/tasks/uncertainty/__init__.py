"""What the uncertainty of the inputs does to a thickness, a system and a cost."""
