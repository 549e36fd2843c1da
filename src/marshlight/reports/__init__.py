"""Answers put on paper and into spreadsheets."""
