"""What a picture shows, before it is drawn: parts as they stand, opened or apart, and the light."""
