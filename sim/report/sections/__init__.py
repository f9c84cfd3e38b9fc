"""What stands in a report, one file a section. Each takes the source and gives blocks; none lays anything out."""
