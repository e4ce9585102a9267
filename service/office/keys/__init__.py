"""Who may do what: API keys, their scopes, and the door that every request passes."""
