"""What each element can bear: line types, reductions, design factors and the weakest element."""
