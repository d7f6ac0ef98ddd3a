"""Test results: creep, bending and samples, from a laboratory's files to design values."""
