"""The command line: thin, the one place that prints and that sets an exit status."""
