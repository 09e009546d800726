"""Figures in the house's own manner, for what is not written for one reader."""

from __future__ import annotations

from appraise.model.manner import MINUS, PLAIN

__all__ = ["MINUS", "about", "exact_money", "factor", "grade", "money", "percent", "quantity", "whole", "years"]

money = PLAIN.money
about = PLAIN.about
whole = PLAIN.whole
exact_money = PLAIN.exact_money
percent = PLAIN.percent
years = PLAIN.years
grade = PLAIN.grade
factor = PLAIN.factor
quantity = PLAIN.quantity
