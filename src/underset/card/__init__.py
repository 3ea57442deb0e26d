"""The card, the working and the record of a plan: everything people see on paper."""
