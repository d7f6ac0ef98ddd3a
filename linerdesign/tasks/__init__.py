"""What the program does with a project: size, review, compare, plan, inventory."""
