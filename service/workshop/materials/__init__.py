"""What a substance or a pack is: codes, kinds and figures, each with its basis and source."""
