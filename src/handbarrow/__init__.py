"""Handbarrow: everything a small metal workshop needs to build a batch of load carriers from one proven design."""

__version__ = "0.1.0"
