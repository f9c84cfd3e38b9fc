"""What the outside suite compares, written down as a page that cannot go stale."""
