"""What people read: a document of plain blocks, and one module for each form it is written in."""
