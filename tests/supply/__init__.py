"""What halfinch is made of: faults known of its dependencies, their licences, and a look at its own code."""
