"""What is told in the terminal: a ring, its metals, its melts. It only reads what was computed."""
