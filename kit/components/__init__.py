"""Components: one file for each thing a maker names.

Each holds a frozen description (`Spec`) that the design file is read into, and a function
that turns it into boards, cuts into other boards, and fastenings (`Made`).
"""
