"""What is cut into a face or stands on it: letters, motifs and patterns, exact on the cylinder."""
