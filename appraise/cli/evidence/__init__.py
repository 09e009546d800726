"""What `appraise sales` can be told to do, one module each."""
