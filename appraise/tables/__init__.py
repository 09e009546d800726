"""The reference tables: every figure of the trade, with its source and standing."""
