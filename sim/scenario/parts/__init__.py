"""The format as typed, frozen models: one file per noun, one attribute per key, one docstring per attribute."""
