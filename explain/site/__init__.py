"""Pages, addresses and publishing."""
