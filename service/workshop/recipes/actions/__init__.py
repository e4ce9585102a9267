"""What changes with recipes, by noun: recipes, their drafts, approvals and retirements."""
