"""The lot data sheet: assembled, frozen, rendered, and found by the number on the jar."""
