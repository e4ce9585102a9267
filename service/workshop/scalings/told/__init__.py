"""What a charge is told as: lines and lots, what is to be made first, cautions and flags."""
