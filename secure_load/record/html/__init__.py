"""The record as one HTML page."""
