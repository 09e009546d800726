"""The subcommands of `appraise sales`, one module each."""
