"""Documents: plain blocks in reading order, and one module for each form they are written in."""
