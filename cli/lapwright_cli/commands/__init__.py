"""The commands, one module a noun."""
