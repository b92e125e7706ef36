"""The texts of the site gathered from code and templates; the tool that keeps their template."""
