"""An organization's own rules and the conditions of its waivers and policies: rows of TOML made into the law's `Rule`."""
