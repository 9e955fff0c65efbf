"""The ring drawn as a goldsmith draws it: plain shapes in mm of paper, for paper and screen."""
