"""Plans of measuring as plain data, without Django: terms, rules, and how a build spec resolves them."""
