"""Facts outside the plan: opened when they are recorded, concluded before the work goes on."""
