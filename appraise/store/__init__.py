"""Case files: read with every problem named, written so that nothing can be lost."""
