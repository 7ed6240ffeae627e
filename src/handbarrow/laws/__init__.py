"""Formulas of the trade: numbers and small frozen values in, the same out. No files, no clock, no chance."""
