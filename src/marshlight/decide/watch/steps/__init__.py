"""What to do next, by the lives of a digester: feed, dose, refill, warm."""
