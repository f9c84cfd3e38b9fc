"""The timed rigs in a textbook's equations, for the libraries that this program's speed is held against."""
