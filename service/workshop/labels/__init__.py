"""What the law and the trade want on the jar, frozen before it is printed."""
