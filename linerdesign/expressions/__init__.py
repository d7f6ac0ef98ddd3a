"""The expressions that equations are traced into, and the dialects that print them.

Nothing in here knows of pipes, standards, files or terminals.
"""
