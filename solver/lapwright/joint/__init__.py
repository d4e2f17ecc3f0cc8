"""Seams and cuts decided together: a library that knows runs, ways and bars.

A `JointProblem` of `Run` and fixed `Piece` goes into `solve_joint`; a `JointPlan` comes
out: a way for every run and a cutting of all pieces, with a bound that knows the rules.
"""
