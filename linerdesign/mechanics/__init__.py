"""Buckling of a liner inside a rigid cavity, solved numerically: a second opinion on K."""
