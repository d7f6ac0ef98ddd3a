"""The docket: many submittals, their revisions, what is open, closed and new in each."""
