"""Checks against values from outside the project: standards, handbooks, printed tables, reference libraries."""
