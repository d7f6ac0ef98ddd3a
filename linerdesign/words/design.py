"""Sentences about a design: its thickness, its ranges and its inputs."""

SENTENCES: dict[str, str] = {}
