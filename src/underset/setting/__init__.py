"""The judge: records turned into numbers once, and one evaluator of a setting."""
