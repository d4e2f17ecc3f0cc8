"""The command line of lapwright: commands, progress and reports."""
