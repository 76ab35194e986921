"""The vehicle description: schema, reading with line and column, layouts and places."""
