"""Studies: which bay takes which vehicle, what to buy, which lift, the day, and how to run them."""
