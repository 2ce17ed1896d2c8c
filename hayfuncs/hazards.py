"""Cautions: nitrate, tetany, heating and the rest."""
