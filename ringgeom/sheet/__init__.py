"""What is printed: the bench sheet and the client's card."""
