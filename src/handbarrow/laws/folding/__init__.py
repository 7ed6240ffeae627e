"""Folding of sheet: what a fold uses, blanks, hems, the order of folds at a folder, rolled strips."""
