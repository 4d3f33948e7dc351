"""The mount kernel: pins in features in, attainable poses out."""
