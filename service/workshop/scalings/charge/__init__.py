"""From what is asked to the charge: the plan, what it makes, and what it must not do."""
