"""Every sentence for users."""
