"""The design: which equations a pipe must meet, in what order, and what comes out.

A calculation is a list of lines, each an equation bound to quantities. The same lines are run
on floats for a sheet, on arrays for an inventory, and printed as text, mathematics, workbook
formulas or a page's script.
"""
