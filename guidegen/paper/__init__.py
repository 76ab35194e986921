"""Sheets, folds, labels and imposition; text that is measured, broken and flowed."""
