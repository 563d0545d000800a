"""What every page has: the context of a request, access, forms, wording."""
