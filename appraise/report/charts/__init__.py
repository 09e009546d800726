"""Charts: what they show of an appraisal, as vector pictures and as letters."""
