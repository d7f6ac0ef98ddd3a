"""The design methods: equations, the lines that bind them, and the engine that runs the lines."""
