"""What stock is called, and what its steel holds at least."""
