"""Readings taken on the site, turned into values of a design."""
