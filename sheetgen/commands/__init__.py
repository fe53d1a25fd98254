"""One command a file. Everything heavy is imported inside the command that uses it, so that help is there at once."""
