"""How a carrier stands, rolls, tips, brakes and is lifted."""
