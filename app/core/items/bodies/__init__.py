"""What lines say: one record for each verb, by the noun that it is said of."""
