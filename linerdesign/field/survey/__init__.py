"""Measured pipe shapes: from radii or diameters to the diameter and ovality a design uses."""
