"""The encased ring: closed forms and a numerical model of a liner in a rigid cavity."""
