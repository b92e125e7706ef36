"""One function for each thing that a person asks Laidtrue to do."""
