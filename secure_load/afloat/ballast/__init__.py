"""Casting, lifting and placing of ballast."""
