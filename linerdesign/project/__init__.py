"""The project file: quantities with units, models, faults, and the design tasks made of them."""
