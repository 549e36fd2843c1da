"""What goes in and comes out: feedstocks, lots, mixing, stoichiometry, gas and water."""
