"""ASTM F1216, Appendix X1: its equations, tables, loads and checks."""
