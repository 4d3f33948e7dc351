"""The mount kernel: from pins in features to attainable poses."""
