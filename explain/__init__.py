"""Order explainers: a short order file in, a plain page about one pair of glasses out."""
