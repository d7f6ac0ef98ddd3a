"""Second opinion on liners in hosts of any shape, in soft or broken hosts, and under grout."""
