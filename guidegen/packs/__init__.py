"""Packs: every document of one vehicle in one folder, written whole, skipped when up to date."""
