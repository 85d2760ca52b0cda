"""Photographs of drawings, traced in a process of their own."""
