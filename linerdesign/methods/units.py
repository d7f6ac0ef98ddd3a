"""Units of the published methods in those of a sheet in SI, as every form prints them."""

MM_PER_INCH = 25.4
M_PER_FOOT = 0.3048
# Six figures.
MPA_PER_PSI = 0.00689476
KN_PER_M3_PER_PCF = 0.157087
