"""Planning tables: thickness by diameter, cover and groundwater."""
