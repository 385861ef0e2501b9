"""Long work beside the pages: asked for, waited for, fetched."""
