"""From packets to pictures: exactly the frame asked for, or none."""
