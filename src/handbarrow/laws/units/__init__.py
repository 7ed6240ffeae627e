"""Units as people write them, and the one rule by which every shown number is rounded."""
