"""Built-in materials and rules as data, each value with its source."""
