"""The sheet of a scaling, to look at and to take to the bench."""
