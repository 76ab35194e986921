"""The owner's guide, A4: everything about one vehicle, page by page."""

from guidegen.documents.guide.book import compose as compose
from guidegen.documents.guide.book import compose_in as compose_in
