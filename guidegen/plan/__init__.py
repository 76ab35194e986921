"""The floor drawing: body, furniture, markers and callouts, and the numbers that they give."""
