"""What the maker does, in the order of the work; each folder is a slice."""
