"""The rules that a knowledge base must keep."""
