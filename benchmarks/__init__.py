"""What is measured, how, and the last figures (README.md)."""
