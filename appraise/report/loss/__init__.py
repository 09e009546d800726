"""A loss in words: the page for people, the JSON object, the claim dossier."""
