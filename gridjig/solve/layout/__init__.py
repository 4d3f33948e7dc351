"""Laying out the weldment on the table: gaps from stop to face, better places, which way up."""
