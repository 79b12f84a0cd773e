"""What tests run on: databases, brokers, processes, threads that overlap, a browser."""
