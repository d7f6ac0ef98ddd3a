"""The desk: a project designed and reviewed in the browser, served on this machine alone."""
