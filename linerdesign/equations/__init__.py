"""The equations: one plain NumPy function each, with the symbol table and the printers.

Nothing in here knows of files, units libraries, models or terminals.
"""
