"""A second opinion on the code check, from the mechanics of an encased ring."""
