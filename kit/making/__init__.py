"""From boards to the saw: layouts, cuts, set-ups and lists as plain data, no ink."""
