"""What the works need beside the thickness: capacity after lining, and what a crew orders."""
