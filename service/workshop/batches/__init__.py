"""The batch: plan, sheet, weighings, cook log, pages, yield and mass balance."""
