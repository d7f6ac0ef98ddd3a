"""Reads the numbers of a submitted calculation, each with its place, into a project file."""
