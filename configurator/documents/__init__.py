"""Quotation, build sheet and drawings: what goes on paper."""
