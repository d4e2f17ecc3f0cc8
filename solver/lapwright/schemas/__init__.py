"""JSON Schemas of the files that lapwright writes."""
