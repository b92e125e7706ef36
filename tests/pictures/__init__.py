"""Pictures of every page with the demonstration job, to be looked at; no test runs them."""
