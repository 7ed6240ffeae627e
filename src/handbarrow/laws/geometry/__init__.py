"""Ground: sections and centrelines."""
