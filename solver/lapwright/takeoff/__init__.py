"""From walls to courses, runs, pieces of trim and areas."""
