"""Photos and certificates: files that are named by their content, sent in any order."""
