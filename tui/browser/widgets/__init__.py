"""What screens are made of; each widget takes cleaned `Content` and never a bare string."""
