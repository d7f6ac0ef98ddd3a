"""Field and laboratory data: survey of the host, tests, acceptance, quantities of the works."""
