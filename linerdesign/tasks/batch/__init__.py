"""Inventories: one row a pipe, sized by arrays in pieces of a table of any length."""
