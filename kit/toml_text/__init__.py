"""TOML texts: their plain values, and a change of them field by field.

reading   by the standard library
editing   by tomlkit, so that comments and spacing stay; it is loaded only where a text is changed
"""

from kit.toml_text.reading import Value, loaded, path_of

__all__ = ["Value", "loaded", "path_of"]
