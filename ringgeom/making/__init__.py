"""From the parts to what is cast: pattern scale, sprue, button, loss."""
