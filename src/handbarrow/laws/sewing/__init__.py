"""Fabric, webbing, cord: cut sizes, thread, lacing, and how far a slung bed sags."""
