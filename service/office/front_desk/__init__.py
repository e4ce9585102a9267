"""Where a visitor begins: what runs here, what each problem means, the API page, health."""
