"""The screens: jobs, walk, record, dialogs."""
