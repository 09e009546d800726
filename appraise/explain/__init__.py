"""The reason tree: every figure of a valuation, how it came about and which table rows it rests on."""

from appraise.explain.tree import reason_tree

__all__ = ["reason_tree"]
