"""What people type about measuring, read before it goes to an operation. No rule of the shop stands here."""
