"""Wall thickness of cured-in-place pipe liners by the equations of ASTM F1216 Appendix X1."""

__version__ = "0.1.0"
