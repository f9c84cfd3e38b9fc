"""The outside models: textbook mechanics and public libraries only. Nothing here imports the program."""
