"""A batch planned: its scaling, its lots, its pour."""
