"""How do supplies come to the rows? Docks, trunks and what each row gets of them."""
