"""The cook log, and the files of loggers."""
