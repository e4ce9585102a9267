"""A recipe worked out for an amount: lines, rounding, cost, figures and cautions."""
