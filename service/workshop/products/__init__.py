"""What is sold: names, packs, directions, how long it keeps."""
