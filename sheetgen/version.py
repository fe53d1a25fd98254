"""The version of the tool, apart from the package itself, so that what stands low does not import all of it."""

__version__ = "0.1.0"
